// Reading everything that a command needs, with every fault said before giving up.

#include "scenes/cli/load.hpp"

#include <fmt/ostream.h>

#include "scenes/cli/commands.hpp"
#include "scenes/file/scene_file.hpp"
#include "scenes/paint/painter.hpp"
#include "scenes/places.hpp"

namespace warmbay::scenes {

LoadResult load_data(std::ostream& err) {
  const Places places = find_places();
  if (const auto missing = what_is_missing(places)) {
    print_faults(err, {*missing});
    return {exit_machine, {}};
  }
  ReadDataFiles read = read_data_files(places.assets);
  std::vector<Fault> faults = std::move(read.faults);
  const Text text = Text::read(places.assets / "text" / "en.toml", faults);
  print_faults(err, faults);
  if (!faults.empty()) return {exit_machine, {}};
  LoadResult result;
  result.loaded.data = std::make_shared<const DataFiles>(std::move(read.data));
  result.loaded.text = std::make_shared<const Text>(text);
  return result;
}

LoadResult load(const std::filesystem::path& file, std::ostream& err) {
  LoadResult result = load_data(err);
  if (result.status != exit_done) return result;
  ReadScene read = read_scene(file, *result.loaded.data);
  print_faults(err, read.faults);
  if (!read.scene) return {exit_scene_errors, {}};
  result.loaded.file = file;
  result.loaded.scene = std::make_shared<const Scene>(std::move(*read.scene));
  result.loaded.wall = paint(*result.loaded.scene, *result.loaded.data);
  return result;
}

std::filesystem::path default_scene() {
  return find_places().scenes / "laundry-wall.toml";
}

}  // namespace warmbay::scenes
