// The cables. Some hundred triangles each; the temperature along a cable is a row of texels.

#include "render/passes/cable_pass.hpp"

#include <algorithm>

#include "render/failures.hpp"
#include "render/passes/cable_shape.hpp"

namespace warmbay::render {

namespace {
constexpr int line_texels = 1024;
constexpr int line_unit = 5;
}  // namespace

std::vector<float> even_line(const sim::CableLine& line, double length_m, int count) {
  std::vector<float> pairs;
  pairs.reserve(2 * static_cast<std::size_t>(count));
  const std::size_t nodes = line.along_m.size();
  std::size_t lower = 0;
  for (int i = 0; i < count; ++i) {
    const auto at_m = static_cast<float>(length_m * i / (count - 1));
    while (lower + 2 < nodes && line.along_m[lower + 1] < at_m) ++lower;
    const std::size_t upper = std::min(lower + 1, nodes - 1);
    const float gap_m = line.along_m[upper] - line.along_m[lower];
    const float share = gap_m > 0.0F ? std::clamp((at_m - line.along_m[lower]) / gap_m, 0.0F, 1.0F) : 0.0F;
    pairs.push_back(std::lerp(line.conductor_k[lower], line.conductor_k[upper], share));
    pairs.push_back(std::lerp(line.sheath_k[lower], line.sheath_k[upper], share));
  }
  return pairs;
}

CablePass::CablePass(const std::filesystem::path& shaders)
    : program_(shaders / "cable.vert", {shaders / "field.glsl", shaders / "cable.frag"}) {}

void CablePass::store(const std::shared_ptr<const sim::Snapshot>& snapshot) {
  if (snapshot->wall != wall_) {
    wall_ = snapshot->wall;
    cables_.clear();
    rims_.clear();
    for (const sim::Cable& cable : wall_->cables) {
      const CableShape shape = cable_shape(cable);
      One& one = cables_.emplace_back();
      one.solid.store(shape.solid);
      one.ribbon.store(shape.ribbon);
      one.length_m = static_cast<float>(sim::route_length_m(cable));
      rims_.insert(rims_.end(), shape.rims.begin(), shape.rims.end());
    }
  }
  const std::vector<double> live_m = live_lengths_m(*snapshot);
  for (std::size_t c = 0; c < cables_.size(); ++c) {
    // Whole: no place of it may lie beyond by rounding.
    const auto m = static_cast<float>(live_m[c]);
    cables_[c].live_m = m >= cables_[c].length_m ? 2.0F * m : m;
  }
  for (std::size_t c = 0; c < cables_.size() && c < snapshot->lines.size(); ++c) {
    if (snapshot->lines[c].along_m.empty()) continue;
    const auto row = even_line(snapshot->lines[c], static_cast<double>(cables_[c].length_m), line_texels);
    cables_[c].line_k.store_rg32f_row(line_texels, row, gl::Sampling::linear);
  }
}

void CablePass::prepare(const FieldTextures& field, const ViewState& view, const ViewSize& size, bool ghost) const {
  program_.use();
  field.bind(program_, view.range);
  program_.set("view_projection", view.camera.view_projection(size));
  program_.set("eye_m", glm::vec3(view.camera.eye_m(size)));
  program_.set("line_k", line_unit);
  program_.set("ghost", ghost ? 1.0F : 0.0F);
  program_.set("dash_m", 0.028F);
}

void CablePass::draw(const FieldTextures& field, const ViewState& view, const ViewSize& size) const {
  prepare(field, view, size, false);
  for (const One& one : cables_) {
    one.line_k.bind(line_unit);
    program_.set("length_m", one.length_m);
    program_.set("live_to_m", one.live_m);
    one.solid.draw_triangles();
  }
}

void CablePass::draw_hidden(const FieldTextures& field, const ViewState& view, const ViewSize& size) const {
  prepare(field, view, size, true);
  for (const One& one : cables_) {
    one.line_k.bind(line_unit);
    program_.set("length_m", one.length_m);
    one.ribbon.draw_triangles();
  }
}

}  // namespace warmbay::render
