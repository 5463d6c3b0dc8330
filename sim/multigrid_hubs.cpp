// Hubs on the levels of the multigrid: found on the wall, joined level by level, solved line by line.

#include "sim/multigrid_hubs.hpp"

#include <algorithm>

namespace warmbay::sim {
namespace {

void add_hub(Hubs& hubs, int line, Axis along, int place) {
  hubs.first_link.push_back(static_cast<int>(hubs.links.size()));
  hubs.to_next_w_k.push_back(0.0F);
  hubs.line.push_back(line);
  hubs.along.push_back(along);
  hubs.place.push_back(place);
}

void add_copper(Hubs& hubs, const Conduction& wall) {
  for (const CopperLine& line : wall.copper().lines)
    for (int n = 0; n < line.nodes(); ++n) {
      const auto first = static_cast<std::size_t>(line.first_link[n]),
                 end = static_cast<std::size_t>(line.first_link[n + 1]);
      const SheathVoxel* sheath = first < end ? wall.sheath_of(line.links[first].voxel) : nullptr;
      const Axis along = sheath ? sheath->along : Axis::x;
      add_hub(hubs, line.cable, along, sheath ? wall.layout().place(sheath->voxel)[index_of(along)] : 0);
      if (n + 1 < line.nodes()) hubs.to_next_w_k.back() = static_cast<float>(line.axial_w_k[n]);
      for (std::size_t l = first; l < end; ++l)
        hubs.links.push_back({line.links[l].voxel, hubs.size() - 1, line.links[l].coupling_w_k});
    }
}

void add_air(Hubs& hubs, const Conduction& wall, const std::vector<float>& couplings_w_k) {
  const AirSpaces& air = wall.air();
  for (const AirSlab& slab : air.slabs()) {
    const int place = wall.layout().place(air.faces()[slab.first_face].voxel)[index_of(slab.along)];
    const bool goes_on =
        &slab != &air.slabs().front() && hubs.along.back() == slab.along && hubs.place.back() == place - 1;
    const int last_line = hubs.line.empty() ? 0 : hubs.line.back();
    add_hub(hubs, goes_on ? last_line : last_line + 1, slab.along, place);
    for (std::size_t f = slab.first_face; f < slab.last_face; ++f)
      if (couplings_w_k[f] > 0.0F) hubs.links.push_back({air.faces()[f].voxel, hubs.size() - 1, couplings_w_k[f]});
  }
}

/// Adds g times the hubs' changes to the right sides of the voxels, each voxel's links in one fixed order.
void send(const Hubs& hubs, LargeField& right, Crew& crew) {
  crew.run([&](int part, int parts) {
    const std::size_t voxels = hubs.first_of.size() - 1;
    for (std::size_t v = voxels * part / parts, end = voxels * (part + 1) / parts; v < end; ++v) {
      float sum = 0.0F;
      for (int n = hubs.first_of[v]; n < hubs.first_of[v + 1]; ++n) {
        const Hubs::Link& link = hubs.links[static_cast<std::size_t>(hubs.by_voxel[n])];
        sum += link.w_k * hubs.change[link.hub];
      }
      right[hubs.links[static_cast<std::size_t>(hubs.by_voxel[hubs.first_of[v]])].voxel] += sum;
    }
  });
}

}  // namespace

Hubs hubs_of(const Conduction& wall) {
  Hubs hubs;
  add_copper(hubs, wall);
  for (const std::vector<float>* couplings : {&wall.air().radiant_w_k(), &wall.air().convective_w_k()})
    add_air(hubs, wall, *couplings);
  hubs.first_link.push_back(static_cast<int>(hubs.links.size()));
  return hubs;
}

Hubs coarser(Hubs& fine, const Layout& fine_layout, const Layout& coarse_layout,
             const std::array<std::vector<int>, 3>& parent_place, std::vector<int>& scratch) {
  Hubs coarse;
  fine.parent.clear();
  auto alike = [&](int a, int b) {
    const std::vector<int>& parent = parent_place[index_of(fine.along[a])];
    return fine.line[a] == fine.line[b] && fine.along[a] == fine.along[b] &&
           parent[fine.place[a]] == parent[fine.place[b]];
  };
  for (int h = 0; h < fine.size();) {
    const int d = index_of(fine.along[h]), place = parent_place[d][fine.place[h]];
    add_hub(coarse, fine.line[h], fine.along[h], place);
    const std::size_t first_link = coarse.links.size();
    int last = h;
    for (;; ++last) {
      fine.parent.push_back(coarse.size() - 1);
      for (int l = fine.first_link[last]; l < fine.first_link[last + 1]; ++l) {
        const std::array<int, 3> at = fine_layout.place(fine.links[l].voxel);
        const std::size_t voxel =
            coarse_layout.at(parent_place[0][at[0]], parent_place[1][at[1]], parent_place[2][at[2]]);
        if (scratch[voxel] < 0) {
          scratch[voxel] = static_cast<int>(coarse.links.size());
          coarse.links.push_back({voxel, coarse.size() - 1, 0.0F});
        }
        coarse.links[static_cast<std::size_t>(scratch[voxel])].w_k += fine.links[l].w_k;
      }
      const int next = last + 1;
      if (next == fine.size() || !alike(next, h)) break;
    }
    for (std::size_t l = first_link; l < coarse.links.size(); ++l) scratch[coarse.links[l].voxel] = -1;
    const bool before = last > h, after = last + 2 < fine.size() && alike(last + 1, last + 2);
    coarse.to_next_w_k.back() =
        coarse_w_k(fine.to_next_w_k[last], before ? 1.0F : 0.0F, before ? fine.to_next_w_k[last - 1] : 0.0F,
                   after ? 1.0F : 0.0F, after ? fine.to_next_w_k[last + 1] : 0.0F);
    h = last + 1;
  }
  coarse.first_link.push_back(static_cast<int>(coarse.links.size()));
  return coarse;
}

void add_links(const Hubs& hubs, LargeField& to_outside) {
  for (const Hubs::Link& link : hubs.links) to_outside[link.voxel] += link.w_k;
}

void finish(Hubs& hubs, std::vector<int>& scratch) {
  const auto n = static_cast<std::size_t>(hubs.size());
  for (std::vector<float>* values : {&hubs.value, &hubs.right, &hubs.change, &hubs.pivot, &hubs.upper})
    values->assign(n, 0.0F);
  for (int h = 0; h < hubs.size(); ++h) {
    float own = hubs.to_next_w_k[h];
    for (int l = hubs.first_link[h]; l < hubs.first_link[h + 1]; ++l) own += hubs.links[l].w_k;
    if (h > 0) own += hubs.to_next_w_k[h - 1] * (1.0F - hubs.upper[h - 1]);
    hubs.pivot[h] = own > 0.0F ? 1.0F / own : 0.0F;
    hubs.upper[h] = hubs.to_next_w_k[h] * hubs.pivot[h];
  }
  std::vector<int> count;  // per linked voxel
  std::vector<std::size_t> voxels;
  for (const Hubs::Link& link : hubs.links) {
    if (scratch[link.voxel] < 0) {
      scratch[link.voxel] = static_cast<int>(voxels.size());
      voxels.push_back(link.voxel);
      count.push_back(0);
    }
    ++count[static_cast<std::size_t>(scratch[link.voxel])];
  }
  hubs.first_of.assign(1, 0);
  for (const int links : count) hubs.first_of.push_back(hubs.first_of.back() + links);
  hubs.by_voxel.resize(hubs.links.size());
  std::vector<int> next(hubs.first_of.begin(), hubs.first_of.end() - 1);
  for (std::size_t l = 0; l < hubs.links.size(); ++l)
    hubs.by_voxel[static_cast<std::size_t>(next[static_cast<std::size_t>(scratch[hubs.links[l].voxel])]++)] =
        static_cast<int>(l);
  for (const std::size_t voxel : voxels) scratch[voxel] = -1;
}

void relax(Hubs& hubs, const LargeField& value, LargeField& right, Crew& crew) {
  if (hubs.size() == 0) return;
  crew.each(hubs.size(), [&](int h) {
    float sum = hubs.right[h];
    for (int l = hubs.first_link[h]; l < hubs.first_link[h + 1]; ++l)
      sum += hubs.links[l].w_k * value[hubs.links[l].voxel];
    hubs.change[h] = sum;
  });
  for (int h = 0; h < hubs.size(); ++h)
    hubs.change[h] = hubs.pivot[h] * (hubs.change[h] + (h > 0 ? hubs.to_next_w_k[h - 1] * hubs.change[h - 1] : 0.0F));
  for (int h = hubs.size() - 2; h >= 0; --h) hubs.change[h] += hubs.upper[h] * hubs.change[h + 1];
  for (int h = 0; h < hubs.size(); ++h) {
    const float was = hubs.value[h];
    hubs.value[h] = hubs.change[h];
    hubs.change[h] -= was;
  }
  send(hubs, right, crew);
}

void take_over(Hubs& hubs, const Hubs& coarse, LargeField& right, Crew& crew) {
  if (hubs.size() == 0) return;
  for (int h = 0; h < hubs.size(); ++h) {
    hubs.change[h] = coarse.value[hubs.parent[h]];
    hubs.value[h] += hubs.change[h];
  }
  send(hubs, right, crew);
}

}  // namespace warmbay::sim
