// Cables that share no voxel are solved side by side; those that do (laid through each other) one after the other.

#include "render/card/copper_on_card.hpp"

#include <algorithm>
#include <cstring>
#include <map>
#include <set>

namespace warmbay::render::card {
namespace {

struct Node {
  double length_m, capacity_j_k, axial_w_k;
  int first_link, last_link;
};
struct Link {
  int voxel;
  float coupling_w_k;
  int node;
};
struct Entry {
  int voxel, first, last, unused;
};
struct Coupling {
  float w_k;
  int node;
};
constexpr std::size_t scratch_parts = 12;  // shaders/heat/copper_types.glsl says which

/// The first colour of each line that no line sharing a voxel with it has.
std::vector<int> colours_of(const std::vector<sim::CopperLine>& lines) {
  std::vector<std::set<std::size_t>> taken;
  std::vector<int> colours;
  for (const sim::CopperLine& line : lines) {
    std::size_t colour = 0;
    auto clashes = [&](const std::set<std::size_t>& voxels) {
      return std::any_of(line.links.begin(), line.links.end(),
                         [&](const sim::SheathLink& link) { return voxels.count(link.voxel) > 0; });
    };
    while (colour < taken.size() && clashes(taken[colour])) ++colour;
    if (colour == taken.size()) taken.emplace_back();
    for (const sim::SheathLink& link : line.links) taken[colour].insert(link.voxel);
    colours.push_back(static_cast<int>(colour));
  }
  return colours;
}

}  // namespace

CopperOnCard::CopperOnCard(const sim::Conduction& wall, const Kernels& kernels) {
  const std::vector<sim::CopperLine>& lines = wall.copper().lines;
  const std::vector<int> colours = colours_of(lines);
  for (std::size_t l = 0; l < lines.size(); ++l) host_line_.push_back(l);
  std::stable_sort(host_line_.begin(), host_line_.end(),
                   [&](std::size_t a, std::size_t b) { return colours[a] < colours[b]; });
  colour_from_.assign(1, 0);
  for (std::size_t n = 0; n < host_line_.size(); ++n) {
    const sim::CopperLine& line = lines[host_line_[n]];
    if (n > 0 && colours[host_line_[n]] != colours[host_line_[n - 1]]) colour_from_.push_back(static_cast<int>(n));
    const sim::CableType& type = wall.wall().cables[static_cast<std::size_t>(line.cable)].type;
    lines_.push_back({sim::resistance_ohm_m(type, sim::datum_k), sim::resistance_slope_ohm_mk(type),
                      static_cast<int>(nodes_of_all_), line.nodes(), type.loaded, line.nodes()});
    nodes_of_all_ += static_cast<std::size_t>(line.nodes());
  }
  colour_from_.push_back(static_cast<int>(host_line_.size()));
  line_buffer_.store(lines_);
  take_links(wall);
  take_touched(wall);
  copper_.allocate(nodes_of_all_ * (1 + scratch_parts) * sizeof(double));
  kernels.links.set("count", static_cast<int>(touched_count_));
  for (const gl::ComputeProgram* kernel : {&kernels.copper_links, &kernels.copper, &kernels.copper_sheath})
    kernel->set("all_nodes", static_cast<int>(nodes_of_all_));
}

void CopperOnCard::take_links(const sim::Conduction& wall) {
  std::vector<Node> nodes;
  std::vector<Link> links;
  for (const std::size_t l : host_line_) {
    const sim::CopperLine& line = wall.copper().lines[l];
    const int before = static_cast<int>(links.size()), first = static_cast<int>(nodes.size());
    first_link_.push_back(before);
    for (std::size_t n = 0; n < line.length_m.size(); ++n)
      nodes.push_back({line.length_m[n], line.capacity_j_k[n], line.axial_w_k[n], before + line.first_link[n],
                       before + line.first_link[n + 1]});
    for (const sim::SheathLink& link : line.links)
      links.push_back({static_cast<int>(link.voxel), link.coupling_w_k, first + link.node});
  }
  first_link_.push_back(static_cast<int>(links.size()));
  node_buffer_.store(nodes);
  link_buffer_.store(links);
}

void CopperOnCard::take_touched(const sim::Conduction& wall) {
  std::map<std::size_t, std::vector<Coupling>> of_voxel;
  for (std::size_t n = 0; n < host_line_.size(); ++n)
    for (const sim::SheathLink& link : wall.copper().lines[host_line_[n]].links)
      of_voxel[link.voxel].push_back({link.coupling_w_k, lines_[n].first + link.node});
  std::vector<Entry> touched;
  std::vector<Coupling> couplings;
  for (const auto& [voxel, of] : of_voxel) {
    const int first = static_cast<int>(couplings.size());
    couplings.insert(couplings.end(), of.begin(), of.end());
    touched.push_back({static_cast<int>(voxel), first, static_cast<int>(couplings.size()), 0});
  }
  touched_count_ = touched.size();
  touched_.store(touched);
  couplings_.store(couplings);
}

void CopperOnCard::put(const std::vector<std::vector<double>>& rise_k) const {
  std::vector<double> flat;
  for (const std::size_t l : host_line_) flat.insert(flat.end(), rise_k[l].begin(), rise_k[l].end());
  copper_.put<double>(0, flat);
}

void CopperOnCard::fetch(std::vector<std::vector<double>>& rise_k) const {
  std::vector<double> flat(nodes_of_all_);
  copper_.fetch(flat);
  std::size_t from = 0;
  for (const std::size_t l : host_line_)
    for (double& node : rise_k[l]) node = flat[from++];
}

void CopperOnCard::read(const std::uint32_t* words, std::vector<std::vector<double>>& rise_k) const {
  for (const std::size_t l : host_line_)
    for (double& node : rise_k[l]) {
      std::memcpy(&node, words, sizeof node);
      words += 2;
    }
}

void CopperOnCard::set_feed(const sim::Feed& feed) {
  bool moved = false;
  for (std::size_t n = 0; n < lines_.size(); ++n) {
    const int live = feed.live_nodes[host_line_[n]];
    moved = moved || lines_[n].live != live;
    lines_[n].live = live;
  }
  if (moved) line_buffer_.put<Line>(0, lines_);
}

void CopperOnCard::flow(const Kernels& kernels, const gl::Storage& rise, const gl::Storage& change) const {
  run(kernels.links, {&rise, &change, &touched_, &couplings_, &copper_}, groups(touched_count_, 64));
}

void CopperOnCard::step(const Kernels& kernels, const gl::Storage& rise, const gl::Storage& change,
                        const gl::Storage& capacity, const gl::Storage& result) const {
  for (std::size_t colour = 0; colour + 1 < colour_from_.size(); ++colour) {
    const auto from = static_cast<std::size_t>(colour_from_[colour]),
               to = static_cast<std::size_t>(colour_from_[colour + 1]);
    if (from == to) continue;
    const int first_node = lines_[from].first, nodes = lines_[to - 1].first + lines_[to - 1].nodes - first_node;
    const int links = first_link_[to] - first_link_[from];
    kernels.copper_links.set("first_node", first_node);
    run(kernels.copper_links, {&rise, &change, &capacity, &node_buffer_, &link_buffer_, &copper_},
        static_cast<std::size_t>(nodes));
    kernels.copper.set("first_line", static_cast<int>(from));
    run(kernels.copper, {&line_buffer_, &node_buffer_, &copper_, &result}, to - from);
    kernels.copper_sheath.set("first_link", first_link_[from]);
    kernels.copper_sheath.set("count", links);
    run(kernels.copper_sheath, {&rise, &change, &capacity, &link_buffer_, &copper_},
        groups(static_cast<std::size_t>(links), 64));
  }
}

}  // namespace warmbay::render::card
