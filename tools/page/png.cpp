#include "tools/page/png.hpp"

#include <fmt/format.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <memory>

#include "tools/store/files.hpp"

namespace joulepress::tools {
namespace {

using File = std::unique_ptr<std::FILE, int (*)(std::FILE*)>;

/// A nameless file that is gone when closed: unlike a pipe it never blocks.
File scratch() {
  File file(std::tmpfile(), std::fclose);
  if (!file) throw FileError("No temporary file can be made; is the disk full?");
  return file;
}

}  // namespace

std::string png_of(const std::string& svg, const std::string& program) {
  const File in = scratch(), out = scratch();
  if (std::fwrite(svg.data(), 1, svg.size(), in.get()) != svg.size() || std::fflush(in.get()) != 0)
    throw FileError("A temporary file cannot be written; is the disk full?");
  std::rewind(in.get());

  std::string name = program, format = "--format=png", x = "--dpi-x=200", y = "--dpi-y=200";
  char* const arguments[] = {name.data(), format.data(), x.data(), y.data(), nullptr};
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_adddup2(&actions, fileno(in.get()), STDIN_FILENO);
  posix_spawn_file_actions_adddup2(&actions, fileno(out.get()), STDOUT_FILENO);
  pid_t child = 0;
  const int problem = posix_spawnp(&child, name.c_str(), &actions, nullptr, arguments, environ);
  posix_spawn_file_actions_destroy(&actions);
  if (problem != 0)
    throw FileError(
        fmt::format("PNG needs the program \"{}\", which is not installed: apt-get install "
                    "librsvg2-bin, or ask for an .svg.",
                    program));
  int status = 0;
  while (waitpid(child, &status, 0) < 0 && errno == EINTR) {
  }
  if (!WIFEXITED(status) || WEXITSTATUS(status) != 0)
    throw FileError(fmt::format("\"{}\" could not make the PNG; ask for an .svg.", program));
  std::rewind(out.get());
  std::string content;
  char buffer[65536];
  for (std::size_t n = 0; (n = std::fread(buffer, 1, sizeof buffer, out.get())) > 0;)
    content.append(buffer, n);
  return content;
}

}  // namespace joulepress::tools
