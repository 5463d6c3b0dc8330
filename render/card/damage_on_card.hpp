#pragma once
// The cells of damage on the card. The host keeps DamageState::cells in the same order; which of the two is ahead is
// HeatCard's business.

#include <cstdint>
#include <vector>

#include "render/card/field_on_card.hpp"
#include "render/card/kernels.hpp"
#include "sim/damage/wall_damage.hpp"

namespace warmbay::render::card {

/// Set in a voxel's code once it has a cell.
inline constexpr std::uint32_t has_cell = 0x80000000U;
/// Set beside a code that is put: the voxel has not moved in the last step.
inline constexpr std::uint32_t at_rest = 0x40000000U;

class DamageOnCard {
 public:
  DamageOnCard(const sim::Conduction& wall, const sim::WallDamage& rules, const Kernels& kernels);

  [[nodiscard]] std::size_t count() const { return count_; }
  [[nodiscard]] bool has_room_for(std::size_t cells) const { return cells <= room_; }
  /// All cells as the host has them.
  void put(const sim::DamageState& state, const sim::Conduction& wall, const Kernels& kernels);
  /// Keeps what is there and moves it to a larger place.
  void make_room_for(std::size_t cells);
  /// The cells from `first` on are new; there is room for them.
  void append(const sim::DamageState& state, std::size_t first, const sim::Conduction& wall, const Kernels& kernels);
  struct Wanted {
    std::int32_t voxel, cell;  // cell: -1 for none
  };
  /// Some of them have changed on the host.
  void put_some(const sim::DamageState& state, const std::vector<std::uint32_t>& which, const sim::Conduction& wall,
                const Kernels& kernels);
  /// The other way round: what has happened to the cells here.
  void fetch(sim::DamageState& state) const;
  /// The same for the cells that have collapsed and are no voids yet, and for their temperatures. about: how many there
  /// may be. Their indices, in rising order.
  [[nodiscard]] std::vector<std::uint32_t> fetch_going(const Kernels& kernels, const gl::Storage& rise,
                                                       std::size_t about, sim::DamageState& state, sim::Field& rise_k);
  /// The same for some voxels and the cells of those that have one.
  void fetch_some(const Kernels& kernels, const gl::Storage& rise, const std::vector<Wanted>& wanted,
                  sim::DamageState& state, sim::Field& rise_k);
  /// What has been told, so that only news come back.
  void set_told(const std::vector<std::uint8_t>& told_material);

  static constexpr std::size_t cell_words = 11;  // of a cell, as the card has it

  // In the readings: eight words a group of sums, then four of news.
  [[nodiscard]] static std::size_t sum_words();
  static constexpr std::size_t news_words = 4;
  struct News {
    std::uint32_t to_tell, hot_enough_to_ignite, collapsed, found;
  };
  /// Runs what goes on in all cells, then looks for voxels that have become hot enough.
  void step(const Kernels& kernels, const FieldOnCard& field, const gl::Storage& result, std::size_t sums_from,
            std::size_t news_from) const;
  void look(const Kernels& kernels, const FieldOnCard& field, const gl::Storage& result, std::size_t news_from) const;
  /// What the sums' words say, J and kg.
  struct Books {
    sim::Kinetics::Change change;
    double with_gas_j = 0.0;
  };
  [[nodiscard]] static Books read(const std::uint32_t* sums);
  /// The voxels that the last look has found, in rising order; they are at most room_for_found().
  [[nodiscard]] std::vector<std::uint32_t> found(const Kernels& kernels, std::size_t how_many);
  [[nodiscard]] static std::size_t room_for_found();

 private:
  void take_rules(const sim::Conduction& wall, const sim::WallDamage& rules, const Kernels& kernels);

  sim::Layout layout_;
  std::size_t count_ = 0, room_ = 0;
  std::vector<std::uint8_t> told_;
  std::size_t told_from_ = 0;  // in rates_
  gl::Storage cells_, rules_, rates_, quiet_, found_, few_, puts_, wanted_, seen_;
};

}  // namespace warmbay::render::card
