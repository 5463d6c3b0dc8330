#pragma once
// The wall's voxels on the card: temperatures, capacities, conductances and what they are refreshed from.

#include <cstdint>
#include <vector>

#include "render/card/air_on_card.hpp"
#include "render/card/kernels.hpp"
#include "sim/conduction.hpp"
#include "sim/snapshot.hpp"
#include "sim/stepper.hpp"

namespace warmbay::render::card {

class FieldOnCard {
 public:
  FieldOnCard(const sim::Conduction& wall, const Kernels& kernels);

  /// Temperatures with their last change, capacities, codes and film tables, as the host has them.
  /// code_flags: put beside the codes, one per voxel; empty: none.
  void put(const sim::Conduction& wall, const sim::HeatState& heat, const std::vector<std::uint32_t>& code_flags);
  /// The temperatures as the drawing's texture, complete on return.
  void share(const Kernels& kernels, unsigned texture) const;
  void fetch(sim::HeatState& heat) const {
    rise.fetch(heat.rise_k);
    heat.change_k.resize(layout_.size);
    change.fetch(heat.change_k);
  }
  /// The air spaces as they are now.
  void take_air(const sim::Conduction& wall, const Kernels& kernels) { air.take(wall, kernels); }

  /// Conductances follow the temperatures.
  void refresh(const Kernels& kernels) const;
  /// change = dt R, w1, w2, w3 in turn, from the change of the step before; adds w3 to the temperatures and the air's
  /// factor after it. add: what else flows, called once change holds the faces' flow.
  template <class Add>
  void step(const Kernels& kernels, const gl::Storage& result, const Add& add) const {
    flow(kernels);
    add();
    air.flow(kernels, air_field());
    sweep(kernels, result);
    air.step(kernels, air_field());
  }

  [[nodiscard]] sim::ConductanceState save(const sim::Conduction& wall) const;
  void restore(const sim::ConductanceState& state, const Kernels& kernels) const;

  // Surfaces are summed in chunks: four words each in the readings.
  [[nodiscard]] std::size_t chunks() const { return chunk_surroundings_.size(); }
  void sum_surfaces(const Kernels& kernels, const gl::Storage& result, std::size_t result_from) const;
  /// What chunks' words say: one per Wall::surroundings.
  [[nodiscard]] std::vector<sim::SurroundingsReading> read_surfaces(const sim::Conduction& wall,
                                                                    const std::uint32_t* words) const;
  /// Where a surface of the host lies among films.
  [[nodiscard]] int film_place(std::size_t surface) const { return place_of_[surface]; }

  gl::Storage rise, change, capacity, codes, films;
  gl::Storage swept;  // capacities as the step has them, with ballast
  AirOnCard air;

 private:
  void take_tables(const sim::Conduction& wall, const Kernels& kernels);
  void take_surfaces(const sim::Conduction& wall, const Kernels& kernels);
  void flow(const Kernels& kernels) const;
  void sweep(const Kernels& kernels, const gl::Storage& result) const;
  [[nodiscard]] AirField air_field() const {
    return {rise, change, swept, codes, resistivity_, widths_, tables_, faces_[0], faces_[1], faces_[2]};
  }

  sim::Layout layout_;
  std::vector<int> host_surface_;  // per surface here: its index on the host
  std::vector<int> place_of_;      // and the other way round
  std::vector<int> chunk_surroundings_;
  std::vector<double> area_m2_;  // per surroundings
  std::size_t film_from_ = 0, axial_count_ = 0;
  gl::Storage upper_, resistivity_, widths_, tables_, axial_, surfaces_, chunks_;
  std::array<gl::Storage, 3> faces_;
};

}  // namespace warmbay::render::card
