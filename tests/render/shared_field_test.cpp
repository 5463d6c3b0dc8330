// The heat's card and the drawing's are one: the picture is made from the card's own temperatures, and the field never
// crosses over to the host for it. The reference is the picture of the same moment by way of the host.

#include <algorithm>
#include <cstdlib>
#include <thread>

#include "render/card/heat_card.hpp"
#include "render/card/open_card.hpp"
#include "render/heat_thread.hpp"
#include "render/scene_view.hpp"
#include "render/shot.hpp"
#include "scenes/places.hpp"
#include "sim/bench.hpp"
#include "tests/render/context.hpp"
#include "tests/render/support.hpp"
#include "tests/support/runs.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::render;
using namespace warmbay::tests;

namespace {

const ViewSize size{640, 400};

/// A drawing without a window, and engines that share their field with it. Without EGL there is nothing to test.
struct Stage {
  std::unique_ptr<gl::HeadlessGl> context;
  sim::EngineFactory engine;
  std::unique_ptr<SceneView> scene;
  card::HeatCard* made = nullptr;

  Stage() {
    std::string error;
    context = testing::headless_or_skip();
    if (!context) return;
    const sim::EngineFactory shared = card::engine_beside_drawing(scenes::Backend::gpu, error);
    REQUIRE(error.empty());
    REQUIRE(shared);
    engine = [this, shared](const sim::EngineParts& parts) {
      auto engine_made = shared(parts);
      made = dynamic_cast<card::HeatCard*>(engine_made.get());
      return engine_made;
    };
    scene = std::make_unique<SceneView>(scenes::find_places().shaders, gl::Quality{});
    const auto palette = Palette::read(scenes::find_places().assets / "palettes" / "inferno.toml", error);
    REQUIRE(palette);
    scene->set_palette(*palette);
  }

  [[nodiscard]] sim::Bench bench(std::shared_ptr<const sim::Wall> wall) const {
    sim::BenchOptions options;
    options.threads = 1;
    options.start_k = sim::kelvin_from_celsius(24.0);
    options.engine = engine;
    return sim::Bench(std::move(wall), options);
  }

  [[nodiscard]] Picture draw(const std::shared_ptr<const sim::Snapshot>& snapshot,
                             const std::shared_ptr<const sim::SharedField>& field, ViewMode mode) const {
    context->enter();
    ViewState view = first_view(*snapshot->wall);
    view.mode = mode;
    view.range = {sim::kelvin_from_celsius(20.0), sim::kelvin_from_celsius(60.0)};
    std::string error;
    Picture picture = draw_picture(
        {size.width_px, size.height_px, 0},
        [&] {
          const auto shared = std::dynamic_pointer_cast<const card::SharedField>(field);
          REQUIRE(static_cast<bool>(shared) == static_cast<bool>(field));
          REQUIRE(scene->draw(snapshot, view, {0, 0, size}, shared));
        },
        error);
    REQUIRE(error.empty());
    return picture;
  }
};

/// Largest difference of any channel of any pixel, of 255; and the share of pixels that differ at all.
struct Difference {
  int most = 0;
  double share = 0.0;
};
Difference difference(const Picture& a, const Picture& b) {
  REQUIRE(a.rgba.size() == b.rgba.size());
  Difference found;
  for (std::size_t p = 0; p < a.rgba.size(); p += 4) {
    int most = 0;
    for (std::size_t c = p; c < p + 4; ++c) most = std::max(most, std::abs(int{a.rgba[c]} - int{b.rgba[c]}));
    found.most = std::max(found.most, most);
    found.share += most > 0 ? 4.0 / static_cast<double>(a.rgba.size()) : 0.0;
  }
  return found;
}

/// The channel wall without its upper right corner, through its whole depth: surroundings inside the grid, beside faces
/// that are seen.
std::shared_ptr<const sim::Wall> notched_wall() {
  sim::Wall wall = channel_wall();
  const auto room = static_cast<std::size_t>(wall.faces[static_cast<std::size_t>(sim::Side::room)]);
  const sim::Grid& grid = wall.grid;
  for (int k = 0; k < grid.nz(); ++k)
    for (int j = grid.ny() - grid.ny() / 4; j < grid.ny(); ++j)
      for (int i = grid.nx() - grid.nx() / 4; i < grid.nx(); ++i)
        wall.voxels[grid.at(i, j, k)] = {static_cast<int>(room), true};
  return share(std::move(wall));
}

}  // namespace

TEST_CASE("drawn from the card's own temperatures the wall looks as it does by way of the host", "[slow]") {
  Stage stage;
  if (!stage.context) return;
  for (const auto& wall : {share(channel_wall()), notched_wall()}) {
    sim::Bench bench = stage.bench(wall);
    bench.set_conditions(with_current(*wall, 30.0));
    const auto first = bench.snapshot();
    const auto before = stage.draw(first, nullptr, ViewMode::cut_away);
    bench.set_segment_end(600.0);
    bench.advance_to(600.0);
    const int fetched = stage.made->fields_fetched();
    const auto field = bench.share_field();
    REQUIRE(field);
    const auto light = bench.snapshot_beside(*first);
    const auto by_card = stage.draw(light, field, ViewMode::cut_away);
    CHECK(stage.made->fields_fetched() == fetched);
    CHECK(light->temperature_k == first->temperature_k);
    CHECK(light->reading.time_s == 600.0);
    const auto whole = bench.snapshot();
    CHECK(stage.made->fields_fetched() == fetched + 1);
    CHECK(light->lines[0].conductor_k == whole->lines[0].conductor_k);
    CHECK(light->lines[0].sheath_k == whole->lines[0].sheath_k);
    const auto by_host = stage.draw(whole, nullptr, ViewMode::cut_away);
    // The same floats by two roads: a mean over neighbours may round otherwise, and with it a colour or an isotherm's
    // edge by one step of 255.
    const Difference roads = difference(by_card, by_host);
    CAPTURE(roads.most, roads.share);
    CHECK(roads.most <= 1);
    CHECK(roads.share < 0.01);
    CHECK(difference(by_host, before).share > 0.05);  // there is something to be seen
  }
}

TEST_CASE("a texture is not written again while somebody holds it, and is used again afterwards", "[slow]") {
  Stage stage;
  if (!stage.context) return;
  const auto wall = share(channel_wall());
  sim::Bench bench = stage.bench(wall);
  bench.set_conditions(with_current(*wall, 30.0));
  bench.advance_to(300.0);
  auto field = bench.share_field();
  const auto snapshot = bench.snapshot();
  const auto then = stage.draw(snapshot, field, ViewMode::cut_away);
  const unsigned texture = std::dynamic_pointer_cast<const card::SharedField>(field)->texture();
  bench.advance_to(900.0);
  const auto later = bench.share_field();
  CHECK(std::dynamic_pointer_cast<const card::SharedField>(later)->texture() != texture);
  // Another snapshot of the same moment, so that it is drawn anew and not copied.
  CHECK(difference(stage.draw(std::make_shared<sim::Snapshot>(*snapshot), field, ViewMode::cut_away), then).most == 0);
  CHECK(difference(stage.draw(bench.snapshot(), later, ViewMode::cut_away), then).share > 0.05);
  field.reset();
  const auto third = bench.share_field();
  CHECK(std::dynamic_pointer_cast<const card::SharedField>(third)->texture() == texture);
}

TEST_CASE("while time runs the heat's thread hands the field over on the card, and fetches it once all stands still",
          "[slow]") {
  Stage stage;
  if (!stage.context) return;
  const testing::SmallScene small;
  HeatOptions options;
  options.threads = 1;
  options.factor = 30.0;
  options.whole_hz = 0.0;
  options.playing = false;
  options.engine = stage.engine;
  auto heat = std::make_unique<HeatThread>(small.data, options);
  heat->open(small.scene, false);
  REQUIRE(testing::becomes([&] { return heat->now()->snapshot != nullptr; }));
  const auto opening = heat->now();
  REQUIRE(opening->field);
  heat->send(Play{true});
  REQUIRE(testing::becomes([&] { return heat->now()->snapshot->reading.time_s > 5.0; }));
  const int fetched = stage.made->fields_fetched();
  for (int n = 0; n < 3; ++n) {
    const double time_s = heat->now()->snapshot->reading.time_s;
    REQUIRE(testing::becomes([&] { return heat->now()->snapshot->reading.time_s > time_s; }));
    const auto now = heat->now();
    REQUIRE(now->field);
    static_cast<void>(stage.draw(now->snapshot, now->field, ViewMode::cut_away));
  }
  CHECK(stage.made->fields_fetched() == fetched);
  heat->send(Play{false});
  REQUIRE(testing::becomes([&] { return !heat->now()->playing; }));
  CHECK(stage.made->fields_fetched() == fetched + 1);
  const auto still = heat->now();
  CHECK(still->snapshot->temperature_k != opening->snapshot->temperature_k);
  const auto by_card = stage.draw(still->snapshot, still->field, ViewMode::cut_away);
  const auto by_host = stage.draw(std::make_shared<sim::Snapshot>(*still->snapshot), nullptr, ViewMode::cut_away);
  CHECK(difference(by_card, by_host).most <= 1);

  heat->want_whole(true);  // as an infrared face does
  heat->send(Play{true});
  REQUIRE(
      testing::becomes([&] { return heat->now()->snapshot->reading.time_s > still->snapshot->reading.time_s + 5.0; }));
  CHECK(stage.made->fields_fetched() > fetched + 1);
  heat.reset();
  // The drawing may still hold a field when its engine is gone.
  CHECK(difference(stage.draw(std::make_shared<sim::Snapshot>(*still->snapshot), still->field, ViewMode::cut_away),
                   by_card)
            .most == 0);
}

TEST_CASE("nothing is shared with a drawing that is not there") {
  std::string error;
  CHECK_FALSE(gl::HeadlessGl::beside_current(error));
  CHECK_FALSE(error.empty());
}
