#include <dlfcn.h>
#include <fmt/format.h>

#include <filesystem>

#include "tools/store/files.hpp"
#include "tools/vtk/vtu_module.hpp"

namespace joulepress::tools {
namespace {

/// Beside the program; a program of the build that lies elsewhere (tests) takes the build's.
std::filesystem::path module_file() {
  std::error_code problem;
  const auto beside = std::filesystem::read_symlink("/proc/self/exe", problem).parent_path() / vtk_module;
  return std::filesystem::exists(beside, problem) ? beside
                                                  : std::filesystem::path(JOULEPRESS_MODULE_DIR) / vtk_module;
}

}  // namespace

WriteVtu load_vtu_writer() {
  void* module = dlopen(module_file().c_str(), RTLD_NOW | RTLD_LOCAL);
  void* symbol = module ? dlsym(module, write_vtu_symbol) : nullptr;
  if (!symbol) {
    const char* reason = dlerror();
    throw FileError(
        fmt::format("The module that writes .vtu files cannot be loaded: {}.  It belongs beside the program.",
                    reason ? reason : "no reason given"));
  }
  return reinterpret_cast<WriteVtu>(symbol);
}

}  // namespace joulepress::tools
