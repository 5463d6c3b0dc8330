// The wall's insulation: what fills each bay, how thick it is, whether the cable lies in a channel. Whatever is chosen
// here builds the wall anew; a slider that is still held does not.

#include <fmt/format.h>

#include <array>

#include "render/panels/panels.hpp"
#include "render/panels/widgets.hpp"

namespace warmbay::render {

namespace {

using Kind = scenes::InsulationPart::Kind;

std::string& material_of(scenes::Insulation& insulation, const scenes::InsulationPart& part) {
  return part.kind == Kind::layer ? insulation.layer_material[part.index] : insulation.box_material[part.index];
}

double& thickness_of(scenes::Insulation& insulation, const scenes::InsulationPart& part) {
  return part.kind == Kind::layer ? insulation.layer_thickness_m[part.index] : insulation.box_thickness_m[part.index];
}

/// True when another fill was picked.
bool pick_fill(Ui& ui, const scenes::InsulationChoices::Fill& fill, scenes::Insulation& insulation) {
  std::string& material = material_of(insulation, fill.part);
  int index = -1;
  for (std::size_t i = 0; i < fill.materials.size(); ++i) {
    if (fill.materials[i] == material) index = static_cast<int>(i);
  }
  if (!pick_from(ui, "fill", ui.say("wall.fill", fmt::arg("part", fill.part.name)), fill.materials, index))
    return false;
  material = fill.materials[static_cast<std::size_t>(index)];
  return true;
}

void set_thickness(Ui& ui, const scenes::InsulationChoices::Thickness& choice, scenes::Insulation& insulation) {
  double& thickness_m = thickness_of(insulation, choice.part);
  double shown = shown_length(ui.units, thickness_m);
  const bool inches = ui.units.length == LengthUnit::inch;
  const SliderLook look{shown_length(ui.units, choice.least_m), shown_length(ui.units, choice.most_m),
                        inches ? 0.125 : 1.0, inches ? 2 : 1, length_symbol(ui.units)};
  if (slider(ui, "thickness", ui.say("wall.thickness", fmt::arg("part", choice.part.name)), shown, look).changed) {
    thickness_m = metres_of_shown(ui.units, shown);
  }
}

void choose_channel(Ui& ui, const scenes::InsulationChoices::Channel& channel, scenes::Insulation& insulation) {
  text_line(ui, ui.fonts.base, ui.theme.text, ui.say("wall.channel", fmt::arg("part", channel.part.name)));
  const std::array<std::string, 2> options{ui.say("wall.channel_open"), ui.say("wall.channel_tight")};
  const std::size_t i = channel.part.index;
  int index = insulation.box_there[i] ? 0 : 1;
  if (choose(ui, "there", options, index)) insulation.box_there[i] = index == 0;
}

}  // namespace

Wishes draw_insulation(const HeatNow& now, ScreenState& state, Ui& ui) {
  const scenes::InsulationChoices& choices = state.insulation_choices;
  const bool nothing = choices.fills.empty() && choices.thicknesses.empty() && choices.channels.empty();
  if (!now.snapshot || nothing || !section(ui, "wall", ui.say("panel.wall"))) return {};
  if (!state.insulation_draft) state.insulation_draft = state.insulation;
  scenes::Insulation& draft = *state.insulation_draft;
  int id = 0;
  const auto with_id = [&id](const auto& draw) {
    ImGui::PushID(id++);
    draw();
    ImGui::PopID();
  };
  for (const auto& fill : choices.fills) with_id([&] { pick_fill(ui, fill, draft); });
  for (const auto& thickness : choices.thicknesses) with_id([&] { set_thickness(ui, thickness, draft); });
  for (const auto& channel : choices.channels) with_id([&] { choose_channel(ui, channel, draft); });
  if (now.trouble.what == Trouble::What::not_built)
    text_line(ui, ui.fonts.base, ui.theme.over, trouble_sentence(ui, now.trouble));
  if (ImGui::IsAnyItemActive()) return {};
  const scenes::Insulation wanted = draft;
  state.insulation_draft.reset();
  if (wanted == state.insulation) return {};
  return {Insulate{wanted}};
}

}  // namespace warmbay::render
