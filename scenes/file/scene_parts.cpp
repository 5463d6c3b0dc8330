// [grid], [wall] with its layers, [[box]], [[surroundings]] and [faces].

#include "scenes/file/scene_parts.hpp"

#include <fmt/format.h>
#include <cmath>

#include "scenes/read/file_units.hpp"
#include "scenes/read/input_limits.hpp"

namespace warmbay::scenes {

namespace {

constexpr std::string_view axis_keys[] = {"x_mm", "y_mm", "z_mm"};
constexpr std::string_view face_keys[] = {"left", "right", "bottom", "top", "room", "far"};  // by sim::Side

void refer(SceneMarks& marks, Named kind, const std::string& name, Mark mark, const std::string& whose) {
  if (!name.empty()) marks.references.push_back({kind, name, mark, whose});
}

std::optional<Studs> read_studs(TableReader& layer, double wall_width_m, SceneMarks& marks, Faults& faults) {
  const auto* table = layer.table("studs");
  if (!table) return std::nullopt;
  TableReader reader(*table, fmt::format("studs of {}", layer.label()), faults);
  Studs studs;
  studs.material = reader.need_text("material");
  refer(marks, Named::material, studs.material, reader.mark("material"), reader.label());
  const double width_mm = reader.need_number("width_mm", bounds::size_mm);
  const double spacing_mm = reader.need_number("spacing_mm", between(1.0, 100000.0));
  if (reader.fine() && spacing_mm < width_mm) {
    reader.fault("spacing_mm",
                 fmt::format("'spacing_mm' is {:g}, expected at least the studs' width of {:g}", spacing_mm, width_mm));
  }
  if (const double count = std::ceil(1e3 * wall_width_m / spacing_mm); count > input_limits::studs) {
    reader.fault("spacing_mm", fmt::format("'spacing_mm' is {:g}, which makes {:.0f} studs, expected at most {}",
                                           spacing_mm, count, input_limits::studs));
  }
  studs.width_m = millimetre.to_si(width_mm);
  studs.spacing_m = millimetre.to_si(spacing_mm);
  studs.first_m = millimetre.to_si(reader.number("first_mm", bounds::place_mm).value_or(0.0));
  reader.done();
  return studs;
}

Layer read_layer(const toml::table& table, std::size_t index, double wall_width_m, SceneMarks& marks, Faults& faults) {
  TableReader reader(table, fmt::format("layer {}", index + 1), faults);
  Layer layer;
  layer.name = reader.text("name").value_or("");
  reader.rename(label_of("layer", layer.name, index));
  layer.material = reader.need_text("material");
  refer(marks, Named::material, layer.material, reader.mark("material"), reader.label());
  layer.thickness_m = millimetre.to_si(reader.need_number("thickness_mm", bounds::size_mm));
  layer.studs = read_studs(reader, wall_width_m, marks, faults);
  reader.done();
  return layer;
}

/// [from, to] along one axis, m.
void read_range(TableReader& reader, std::size_t axis, Box& box) {
  const auto key = axis_keys[axis];
  if (!reader.has(key)) reader.missing(key, "[from, to]");
  const auto range = reader.pair(key, bounds::place_mm);
  if (!range) return;
  if ((*range)[0] >= (*range)[1]) {
    reader.fault(key, fmt::format("'{}' is empty: it runs from {:g} to {:g}, expected from less to more", key,
                                  (*range)[0], (*range)[1]));
  } else if ((*range)[1] - (*range)[0] < bounds::size_mm.least * (1.0 - 1e-9)) {
    reader.fault(key, fmt::format("'{}' is {:g} mm thin, expected at least {:g}", key, (*range)[1] - (*range)[0],
                                  bounds::size_mm.least));
  }
  box.from_m[axis] = millimetre.to_si((*range)[0]);
  box.to_m[axis] = millimetre.to_si((*range)[1]);
}

void read_box(const toml::table& table, std::size_t index, Scene& scene, SceneMarks& marks, Faults& faults) {
  TableReader reader(table, fmt::format("box {}", index + 1), faults);
  Box box;
  box.name = reader.text("name").value_or("");
  reader.rename(label_of("box", box.name, index));
  box.material = reader.text("material").value_or("");
  box.surroundings = reader.text("surroundings").value_or("");
  if (reader.has("material") && reader.has("surroundings")) {
    reader.fault("surroundings",
                 fmt::format("{} has both 'material' and 'surroundings', expected one of them", reader.label()));
  } else if (!reader.has("material") && !reader.has("surroundings")) {
    reader.missing("material", "that or 'surroundings'");
  }
  refer(marks, Named::material, box.material, reader.mark("material"), reader.label());
  refer(marks, Named::surroundings, box.surroundings, reader.mark("surroundings"), reader.label());
  for (std::size_t axis = 0; axis < 3; ++axis) read_range(reader, axis, box);
  box.fine = reader.flag("fine").value_or(false);
  reader.done();
  BoxMark mark{reader.label(), {}, reader.fine()};
  for (std::size_t axis = 0; axis < 3; ++axis) mark.range[axis] = reader.mark(axis_keys[axis]);
  marks.boxes.push_back(std::move(mark));
  scene.boxes.push_back(std::move(box));
}

void read_film(TableReader& reader, sim::Surroundings& surroundings) {
  constexpr std::string_view key = "film_w_m2k";
  const auto* node = reader.node(key);
  if (!node) return;
  if (!node->is_string()) {
    if (node->is_number()) {
      surroundings.film = sim::Film::given;
      surroundings.film_w_m2k = reader.number_in(*node, key, bounds::film_w_m2k).value_or(1.0);
    } else {
      reader.fault(key, "'film_w_m2k' is neither a number nor a text, expected a number, \"natural\" or \"fixed\"");
    }
    return;
  }
  const auto& word = node->as_string()->get();
  if (word == "fixed") {
    surroundings.film = sim::Film::held;
  } else if (word != "natural") {
    reader.fault(key, fmt::format("'film_w_m2k' is '{}', expected a number, \"natural\" or \"fixed\"", word));
  }
}

}  // namespace

void read_grid(TableReader& root, Scene& scene, SceneMarks& marks, Faults& faults) {
  const auto* table = root.table("grid");
  marks.grid = root.mark("grid");
  if (!table) return;
  TableReader reader(*table, "[grid]", faults);
  auto& grid = scene.grid;
  if (const auto mm = reader.number("coarse_mm", bounds::voxel_mm)) grid.coarse_m = millimetre.to_si(*mm);
  if (const auto mm = reader.number("fine_mm", bounds::voxel_mm)) grid.fine_m = millimetre.to_si(*mm);
  if (const auto ratio = reader.number("growth", bounds::growth)) grid.growth = *ratio;
  if (reader.fine() && grid.fine_m > grid.coarse_m) {
    reader.fault("fine_mm", fmt::format("'fine_mm' is {:g}, expected at most 'coarse_mm', {:g}", 1e3 * grid.fine_m,
                                        1e3 * grid.coarse_m));
  }
  reader.done();
}

void read_wall(TableReader& root, Scene& scene, SceneMarks& marks, Faults& faults) {
  const auto* table = root.table("wall");
  marks.wall = root.mark("wall");
  marks.depth = marks.wall;
  if (!table) {
    if (!root.has("wall")) root.missing("[wall]", "its width_mm and height_mm");
    return;
  }
  TableReader reader(*table, "[wall]", faults);
  auto& wall = scene.wall;
  wall.width_m = millimetre.to_si(reader.need_number("width_mm", bounds::size_mm));
  wall.height_m = millimetre.to_si(reader.need_number("height_mm", bounds::size_mm));
  if (const auto mm = reader.number("depth_mm", bounds::size_mm)) wall.depth_m = millimetre.to_si(*mm);
  if (const auto start_c = reader.number("start_c", bounds::celsius)) wall.start_k = celsius.to_si(*start_c);
  const double width_m = reader.fine() ? wall.width_m : 0.0;  // a width that is missing is no reason to fault the studs
  for (const auto* layer : reader.tables("layer")) {
    wall.layers.push_back(read_layer(*layer, wall.layers.size(), width_m, marks, faults));
    marks.layers.push_back(mark_of(layer->source()));
  }
  if (!reader.has("depth_mm") && !reader.has("layer")) reader.missing("depth_mm", "that or [[wall.layer]]");
  marks.depth = reader.mark("depth_mm");
  reader.done();
  marks.wall_fine = reader.fine();
}

void read_boxes(TableReader& root, Scene& scene, SceneMarks& marks, Faults& faults) {
  for (const auto* table : root.tables("box")) read_box(*table, scene.boxes.size(), scene, marks, faults);
}

void read_surroundings(TableReader& root, Scene& scene, SceneMarks& marks, Faults& faults) {
  for (const auto* table : root.tables("surroundings")) {
    TableReader reader(*table, "[[surroundings]]", faults);
    sim::Surroundings one;
    one.name = reader.need_text("name");
    if (!one.name.empty()) reader.rename(fmt::format("surroundings '{}'", one.name));
    if (one.name == "insulated") {
      reader.fault("name", "'insulated' is what a face without surroundings is called, expected another name");
    }
    one.temperature_k = celsius.to_si(reader.need_number("temperature_c", bounds::celsius));
    read_film(reader, one);
    reader.done();
    marks.given.push_back({Named::surroundings, one.name, reader.mark("name"), reader.label()});
    scene.surroundings.push_back(std::move(one));
  }
}

void read_faces(TableReader& root, Scene& scene, SceneMarks& marks, Faults& faults) {
  const auto* table = root.table("faces");
  if (!table) return;
  TableReader reader(*table, "[faces]", faults);
  for (std::size_t side = 0; side < scene.faces.size(); ++side) {
    const auto name = reader.text(face_keys[side]).value_or("insulated");
    if (name == "insulated") continue;
    scene.faces[side] = name;
    refer(marks, Named::surroundings, name, reader.mark(face_keys[side]), fmt::format("face '{}'", face_keys[side]));
  }
  reader.done();
}

}  // namespace warmbay::scenes
