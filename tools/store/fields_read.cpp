#include "tools/store/fields_read.hpp"

#include <fmt/format.h>

#include "tools/store/files.hpp"
#include "tools/store/h5.hpp"

namespace joulepress::tools {

StoredFields read_fields(const std::filesystem::path& folder, const StoredResults& results) {
  const std::filesystem::path path = folder / "results.h5";
  const h5::File file = h5::File::open(path);
  StoredFields fields;
  fields.times = file.numbers("/fields/time");
  const std::size_t scalars = fields.times.size() * results.cells.part.size();
  const auto read = [&](const char* name, std::size_t size) {
    std::vector<double> values = file.numbers(std::string("/fields/") + name);
    if (values.size() != size)
      throw FileError(
          fmt::format("\"{}\" is damaged: /fields/{} does not fit its cells.", path.string(), name));
    return values;
  };
  fields.z_low = read("z_low", scalars);
  fields.z_high = read("z_high", scalars);
  fields.temperature = read("temperature", scalars);
  fields.electric_potential = read("electric_potential", scalars);
  fields.current_density = read("current_density", 2 * scalars);
  fields.joule_heat = read("joule_heat", scalars);
  fields.heat_flux = read("heat_flux", 2 * scalars);
  fields.relative_density = read("relative_density", scalars);
  return fields;
}

}  // namespace joulepress::tools
