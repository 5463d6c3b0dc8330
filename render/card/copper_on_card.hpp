#pragma once
// The copper's lines as the kernels read them.

#include <cstdint>
#include <vector>

#include "render/card/kernels.hpp"
#include "sim/conduction.hpp"
#include "sim/stepper.hpp"

namespace warmbay::render::card {

class CopperOnCard {
 public:
  CopperOnCard(const sim::Conduction& wall, const Kernels& kernels);

  [[nodiscard]] std::size_t nodes() const { return nodes_of_all_; }
  [[nodiscard]] std::size_t lines() const { return lines_.size(); }

  /// Temperatures, per cable and node.
  void put(const std::vector<std::vector<double>>& rise_k) const;
  void fetch(std::vector<std::vector<double>>& rise_k) const;
  /// The same from the words that the kernel reported, two a node.
  void read(const std::uint32_t* words, std::vector<std::vector<double>>& rise_k) const;
  /// How far the current flows; the card is told only of what is new.
  void set_feed(const sim::Feed& feed);

  /// Adds what the copper gives to its sheath's voxels to change.
  void flow(const Kernels& kernels, const gl::Storage& rise, const gl::Storage& change) const;
  /// The copper's factor of the split step. result: takes temperatures and heat (CardReadings says where).
  void step(const Kernels& kernels, const gl::Storage& rise, const gl::Storage& change, const gl::Storage& capacity,
            const gl::Storage& result) const;

 private:
  struct Line {  // as in shaders/heat/copper.comp
    double resistance_ohm_m, slope_ohm_mk;
    int first, nodes, loaded, live;
  };
  void take_links(const sim::Conduction& wall);
  void take_touched(const sim::Conduction& wall);

  std::size_t nodes_of_all_ = 0, touched_count_ = 0;
  std::vector<Line> lines_;
  std::vector<int> colour_from_;  // lines_ are sorted by colour: those of one share no voxel
  std::vector<std::size_t> host_line_;
  std::vector<int> first_link_;  // per line, plus one past the last
  gl::Storage line_buffer_, node_buffer_, link_buffer_, touched_, couplings_, copper_;
};

}  // namespace warmbay::render::card
