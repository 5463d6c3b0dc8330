// `warmbay check FILE…`: reads scene files and says what is wrong with them, or that they are fine.

#include <fmt/ostream.h>

#include "scenes/cli/asked.hpp"
#include "scenes/cli/load.hpp"
#include "scenes/file/scene_file.hpp"
#include "scenes/read/printable.hpp"

namespace warmbay::scenes {

int check(const CheckAsked& asked, const Streams& streams) {
  const LoadResult program = load_data(streams.err);
  if (program.status != exit_done) return program.status;
  int status = exit_done;
  for (const std::filesystem::path& file : asked.files) {
    const ReadScene read = read_scene(file, *program.loaded.data);
    print_faults(streams.err, read.faults);
    if (read.scene)
      fmt::print(streams.out, "{}: fine\n", printable(file.string()));
    else
      status = exit_scene_errors;
  }
  return status;
}

}  // namespace warmbay::scenes
