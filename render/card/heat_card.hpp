#pragma once
// The heat on a graphics card: the split step, conductances and films of sim as compute shaders (OpenGL 4.3).
//
// Temperatures stay on the card; what comes back after a step are readings: the copper, the voxels beside it, those
// that thermocouples look at, sums over the surfaces, the range of all temperatures. Arithmetic is the processor's
// (float fields, double copper and sums) in another order: the two agree within 0.02 K, not in every bit. On one card a
// run is repeatable bit by bit: every sum has a fixed order.

#include <atomic>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include "render/card/copper_on_card.hpp"
#include "render/card/damage_on_card.hpp"
#include "render/card/field_on_card.hpp"
#include "render/card/shared_field.hpp"
#include "render/gl/headless_gl.hpp"
#include "sim/heat_engine.hpp"
#include "sim/whole_step.hpp"

namespace warmbay::render::card {

class HeatCard : public sim::HeatEngine {
 public:
  /// nullptr on failure, with one line in `error`: no OpenGL 4.3, a wall too large for the card, a faulty shader.
  /// shared: the textures of a drawing whose objects `context` shares; nullptr: nothing is shared.
  [[nodiscard]] static std::unique_ptr<HeatCard> make(const sim::EngineParts& parts,
                                                      std::unique_ptr<gl::HeadlessGl> context,
                                                      const std::filesystem::path& shaders, std::string& error,
                                                      std::shared_ptr<FieldPool> shared = nullptr);
  ~HeatCard() override;

  [[nodiscard]] double longest_stable_step_s(double wanted_s) override;
  void take_over(const sim::HeatState& heat, const sim::DamageState& damage) override;
  void fetch(sim::HeatState& heat, sim::DamageState& damage) override;
  void refresh(const sim::HeatState& heat) override;
  [[nodiscard]] sim::ConductanceState save_conductances() override;
  void restore(sim::HeatState& heat, const sim::DamageState& damage,
               const sim::ConductanceState& conductances) override;
  Outcome step(sim::HeatState& heat, double dt_s, const sim::Feed& feed, const Bound& bound) override;
  Outcome step_whole(sim::HeatState& heat, double dt_s, const sim::Feed& feed, const Bound& bound) override;
  void damage(sim::HeatState& heat, double dt_s, double time_s, sim::DamageState& state,
              std::vector<sim::Occurrence>& seen) override;
  bool shape(sim::HeatState& heat, double time_s, sim::DamageState& state, std::vector<sim::Occurrence>& seen) override;
  [[nodiscard]] std::vector<sim::SurroundingsReading> surroundings(const sim::HeatState& heat) override;
  [[nodiscard]] std::shared_ptr<const sim::SharedField> share_field() override;
  void leave_thread() override;
  [[nodiscard]] std::string name() const override { return name_; }

  /// Time that the card itself has worked on steps so far, s, by its own clock.
  [[nodiscard]] double device_s() const { return device_s_; }
  /// How often the whole field has crossed over to the host. From any thread.
  [[nodiscard]] int fields_fetched() const { return fields_fetched_; }

 private:
  HeatCard(const sim::EngineParts& parts, std::unique_ptr<gl::HeadlessGl> context, std::unique_ptr<Kernels> kernels,
           std::shared_ptr<FieldPool> shared);

  void watch();
  void lay_out_readings();
  void set_step(double dt_s, const sim::Feed& feed, const Bound& bound);
  void run_step();
  void undo(const sim::HeatState& heat, double change_before_s);
  void run_damage();
  void read_back(sim::HeatState& heat);
  struct Put {  // as in shaders/heat/scatter.comp
    int voxel;
    float rise_k, capacity_j_k;
    std::uint32_t code;
  };
  void put_voxels(const std::vector<Put>& puts);
  void put_all(const sim::HeatState& heat, const sim::DamageState& damage);
  void fetch_cells(sim::DamageState& damage);
  void look_now();
  void tell(sim::HeatState& heat, double time_s, sim::DamageState& state, std::vector<sim::Occurrence>& seen);
  void take_in_found(sim::HeatState& heat, sim::DamageState& state);
  [[nodiscard]] std::vector<std::uint32_t> see_going(sim::HeatState& heat, sim::DamageState& state);
  void put_changed_cells(const sim::HeatState& heat, const sim::DamageState& state);
  void put_new_cells(const sim::DamageState& state, std::size_t first);
  [[nodiscard]] DamageOnCard::News news() const;
  [[nodiscard]] double leaving_w(std::size_t result_from) const;
  [[nodiscard]] float ordered_float(std::size_t word) const;

  sim::EngineParts parts_;
  std::unique_ptr<gl::HeadlessGl> context_;
  std::unique_ptr<Kernels> kernels_;
  std::shared_ptr<FieldPool> shared_;
  std::string name_;
  FieldOnCard field_;
  CopperOnCard copper_;
  DamageOnCard damage_;
  sim::WholeStep whole_;
  gl::Storage before_;        // temperatures before the last step
  bool owes_damage_ = false;  // the last step was done whole, on the host: the wall's damage has yet to follow it
  gl::Storage result_, step_block_, watched_places_, film_places_, puts_;

  std::vector<std::size_t> linked_;         // voxels that the copper is coupled to
  std::vector<bool> is_linked_;             // per voxel
  std::vector<std::size_t> beside_;         // what thermocouples look at that is not linked
  std::vector<std::size_t> watched_;        // voxels whose temperatures come back after every step
  std::vector<std::size_t> watched_films_;  // surfaces whose films do
  std::size_t copper_from_ = 0, heat_from_ = 0, before_from_ = 0, after_from_ = 0;  // words of result_
  std::size_t present_from_ = 0, sums_from_ = 0, news_from_ = 0, voxels_from_ = 0, films_from_ = 0, words_ = 0;
  std::vector<std::uint32_t> readings_;  // result_ as it came back last
  bool leaving_known_ = false;           // the last step's end is this one's beginning
  bool surfaces_known_ = false;          // the surfaces' sums are of the present temperatures
  bool looked_ = false;                  // news() is of the present temperatures
  bool cells_fetched_ = true;            // the host's cells are the present ones
  double change_s_ = 0.0;                // length of the step that left field_.change; 0: none
  bool host_is_whole_ = false;           // every temperature on the host is the present one
  double leaving_w_ = 0.0;
  double device_s_ = 0.0;
  std::atomic<int> fields_fetched_ = 0;
  unsigned timer_ = 0;
};

}  // namespace warmbay::render::card
