#pragma once
// What the nodes of the air spaces bring to their faces, for solvers that go through them at any temperatures.

#include <cstddef>
#include <vector>

#include "sim/air_spaces.hpp"

namespace warmbay::sim {

/// Calls add(face, heat into its voxel, W, coupling, W/K) for every face of every air space, radiant node first: a node
/// without heat capacity has the mean temperature of its faces, weighted by their couplings. temperature_k(voxel): K
/// above any datum, of a padded index; face: index into AirSpaces::faces().
template <class Temperature, class Add>
void each_air_flow(const AirSpaces& air, const Temperature& temperature_k, const Add& add) {
  for (const AirSlab& slab : air.slabs())
    for (const std::vector<float>* couplings : {&air.radiant_w_k(), &air.convective_w_k()}) {
      double sum = 0.0, weighted = 0.0;
      for (std::size_t f = slab.first_face; f < slab.last_face; ++f) {
        sum += (*couplings)[f];
        weighted += static_cast<double>((*couplings)[f]) * temperature_k(air.faces()[f].voxel);
      }
      if (!(sum > 0.0)) continue;
      const double node_k = weighted / sum;
      for (std::size_t f = slab.first_face; f < slab.last_face; ++f)
        add(f, (*couplings)[f] * (node_k - temperature_k(air.faces()[f].voxel)), (*couplings)[f]);
    }
}

}  // namespace warmbay::sim
