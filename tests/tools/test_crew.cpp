// The crew on small rods: every member once, the same bytes in every way, whatever is killed, lost or
// refused.
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <csignal>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <stdexcept>
#include <thread>

#include "cases/reader/case_reader.hpp"
#include "cases/reader/case_writer.hpp"
#include "tests/support/folder.hpp"
#include "tools/crew/crew.hpp"
#include "tools/screen/progress.hpp"
#include "tools/store/files.hpp"
#include "tools/verbs/verbs.hpp"

using namespace joulepress;
using test::Folder;
using tools::Member;
using tools::Outcome;
namespace fs = std::filesystem;

namespace {

const fs::path root = JOULEPRESS_SOURCE_DIR;

std::string resolved(const std::string& text) {
  return cases::resolved_case(cases::read_case("case.yaml", text));
}

/// A rod between cold ends, some milliseconds to run.
std::string rod(double volts, const std::string& more = {}) {
  return resolved(
      fmt::format("format: 1\ntitle: rod at {} V\nnumerics: {{accuracy: 2 K}}\n"
                  "press: {{name: bench, limits: {{current: 2 kA, voltage: 10 V}}, column ends: "
                  "{{temperature: 25 degC}}}}\n"
                  "column: [{{name: rod, material: isotropic graphite, diameter: 10 mm, height: 100 mm}}]\n"
                  "surroundings: {{chamber: 25 degC, radiation: off}}\n"
                  "programme: {{voltage: [{{ramp to: {} V, in: 10 s}}, {{hold: 1 min, name: soak}}]{}}}\n",
                  volts, volts, more));
}

/// Leaves the range of its data, where it is to fail.
std::string copper_too_hot() {
  return resolved(
      "format: 1\npress: {name: bench}\nsurroundings: {radiation: on}\n"
      "column: [{name: rod, material: copper, diameter: 10 mm, height: 30 mm}]\n"
      "start temperature: 1000 degC\nnumerics: {strict: on}\n"
      "programme: {power: [{ramp to: 20 kW, in: 1 s}, {hold: 60 s}]}\n");
}

std::vector<Member> rods(int count) {
  std::vector<Member> members;
  for (int k = 0; k < count; ++k)
    members.push_back(
        {fmt::format("rod-{}", k), fmt::format("{} tenths of a volt", k + 5), rod(0.1 * (k + 5))});
  return members;
}

tools::CrewResult run(const fs::path& folder, const std::vector<Member>& members, tools::Share share = {},
                      int threads = 2) {
  return tools::run_members({folder, share, threads, true}, members);
}

using Files = std::map<std::string, std::string>;

Files files_of(const fs::path& folder) {
  Files files;
  for (const auto& entry : fs::recursive_directory_iterator(folder))
    if (entry.is_regular_file())
      files[fs::relative(entry.path(), folder).string()] = tools::read_whole(entry.path());
  return files;
}

nlohmann::json outcome(const fs::path& folder, const std::string& id) {
  return nlohmann::json::parse(tools::read_whole(folder / "members" / id / "outcome.json"));
}

}  // namespace

TEST_CASE("crew: a member leaves what `run` on its resolved case leaves, to the byte") {
  std::vector<Member> members;
  for (const char* name : {"graphite-column", "nickel-20mm"}) {
    cases::Case c = cases::read_case(root / "cases" / (std::string(name) + ".yaml"));
    c.accuracy = 2;  // K
    members.push_back({name, name, cases::resolved_case(c)});
  }
  const Folder folder("crew-like-run");
  const auto result = run(folder.path, members);
  CHECK(result.run_now == 2);
  CHECK(result.found == 0);
  CHECK(!result.interrupted);
  for (std::size_t k = 0; k < members.size(); ++k) {
    const fs::path member = folder.path / "members" / members[k].id, alone = folder.path / members[k].id;
    INFO(member);
    REQUIRE(tools::run_case({member / "resolved_case.yaml", alone, true}) == tools::done);
    for (const char* name : {"resolved_case.yaml", "summary.json", "history.csv"})
      CHECK(tools::read_whole(member / name) == tools::read_whole(alone / name));
    REQUIRE(result.members[k]);
    CHECK(result.members[k]->outcome == Outcome::completed);
    const auto summary = nlohmann::json::parse(tools::read_whole(alone / "summary.json"));
    CHECK(outcome(folder.path, members[k].id)["case_sha256"] == summary["case_sha256"]);
    const auto numbers = tools::summary_of(*result.members[k]);
    CHECK(tools::number_at(numbers, "peak.current_A") == summary["peak"]["current_A"].get<double>());
    CHECK(tools::number_at(numbers, "holds[0].power_W") == summary["holds"][0]["power_W"].get<double>());
  }
  CHECK(!fs::exists(folder.path / "members" / "nickel-20mm" / "results.h5"));
}

TEST_CASE("crew: 1, 2 and 5 threads, and three shares, leave the same bytes") {
  const auto members = rods(5);
  const Folder one("crew-one");
  CHECK(run(one.path, members, {}, 1).run_now == 5);
  const Files expected = files_of(one.path);
  CHECK(expected.size() == 20);
  for (const int threads : {2, 5}) {
    const Folder more("crew-more");
    run(more.path, members, {}, threads);
    CHECK(files_of(more.path) == expected);
  }
  const Folder shared("crew-shared");
  const auto last = run(shared.path, members, {3, 3});
  CHECK(last.run_now == 1);  // member 2 of 0 to 4
  CHECK(!last.members[0]);
  REQUIRE(last.members[2]);
  CHECK(run(shared.path, members, {1, 3}).run_now == 2);
  const auto second = run(shared.path, members, {2, 3});
  CHECK(second.run_now == 2);
  CHECK(second.found == 3);
  CHECK(files_of(shared.path) == expected);
  const auto merged = run(shared.path, members);
  CHECK(merged.run_now == 0);
  CHECK(merged.found == 5);
  CHECK(
      std::all_of(merged.members.begin(), merged.members.end(), [](const auto& m) { return m.has_value(); }));
}

TEST_CASE("crew: processes on the same share at once do each other no harm") {
  const auto members = rods(4);
  const Folder apart("crew-apart"), together("crew-together");
  run(apart.path, members);
  fs::copy(apart.path, together.path, fs::copy_options::recursive);
  fs::remove(together.path / "members" / "rod-0" / "outcome.json");
  tools::write_whole(together.path / "members" / "rod-1" / "outcome.json", "of another case");
  fs::remove_all(together.path / "members" / "rod-2");
  std::vector<pid_t> others;
  for (int k = 0; k < 3; ++k) {
    const pid_t child = fork();
    if (child == 0) {
      try {
        const auto result = run(together.path, members);
        std::_Exit(result.run_now + result.found == 4 ? 0 : 1);
      } catch (...) {
        std::_Exit(2);
      }
    }
    others.push_back(child);
  }
  for (const pid_t child : others) {
    int status = -1;
    REQUIRE(waitpid(child, &status, 0) == child);
    CHECK(status == 0);
  }
  CHECK(files_of(together.path) == files_of(apart.path));
}

TEST_CASE("crew: what has ended is not run again; what lost its outcome, files or case is") {
  auto members = rods(4);
  const Folder folder("crew-again");
  run(folder.path, members);
  const Files expected = files_of(folder.path);
  const fs::path home = folder.path / "members";
  const auto written = fs::last_write_time(home / "rod-0" / "outcome.json");

  fs::remove(home / "rod-1" / "outcome.json");
  CHECK(run(folder.path, members).run_now == 1);
  for (const char* broken : {"", "{\"schema\": \"joulepress.mem", "[]", "{}", "null", "7"}) {
    INFO(broken);
    std::ofstream(home / "rod-2" / "outcome.json") << broken;
    CHECK(run(folder.path, members).run_now == 1);
  }
  for (const auto& [key, value] :
       std::map<std::string, nlohmann::json>{{"version", "0.0.0"},
                                             {"case_sha256", std::string(64, '0')},
                                             {"status", "running"},
                                             {"status", 3},
                                             {"schema", "joulepress.member/2"},
                                             {"summary_sha256", nullptr},
                                             {"summary_sha256", "of a torn file"}}) {
    INFO(key);
    auto changed = outcome(folder.path, "rod-2");
    changed[key] = value;
    tools::write_whole(home / "rod-2" / "outcome.json", changed.dump());
    CHECK(run(folder.path, members).run_now == 1);
  }
  std::ofstream(home / "rod-3" / "summary.json") << "{\"status\": \"comp";
  CHECK(run(folder.path, members).run_now == 1);
  fs::remove(home / "rod-3" / "summary.json");
  CHECK(run(folder.path, members).run_now == 1);
  CHECK(files_of(folder.path) == expected);

  members[3].case_text = rod(3.0);
  const auto changed = run(folder.path, members);
  CHECK(changed.run_now == 1);
  CHECK(changed.found == 3);
  CHECK(tools::read_whole(home / "rod-3" / "resolved_case.yaml") == members[3].case_text);
  CHECK(fs::last_write_time(home / "rod-0" / "outcome.json") == written);
}

TEST_CASE("crew: failed, stopped and refused members are recorded with their reason, the others run") {
  std::vector<Member> members = rods(2);
  members.push_back({"hot", "too hot", copper_too_hot()});
  members.push_back({"careful", "stopped", rod(1.5, ", abort when: [{current above: 100 A}]")});
  members.push_back({"no-case", "no case", "format: 1\ntitel: no such key\n"});
  members.push_back({"of-the-plan", "refused", "", "The die would be wider than the spacer."});
  members.push_back({"bytes", "any \xff bytes", "", "\xfe"});
  const Folder folder("crew-outcomes");
  const auto result = run(folder.path, members);
  CHECK(result.run_now == 7);
  const auto is = [&](std::size_t k, Outcome wanted, const char* status, const std::string& words) {
    INFO(members[k].id);
    REQUIRE(result.members[k]);
    CHECK(result.members[k]->outcome == wanted);
    CHECK(result.members[k]->reason.find(words) != std::string::npos);
    const auto stored = outcome(folder.path, members[k].id);
    CHECK(stored["schema"] == "joulepress.member/1");
    CHECK(stored["id"] == members[k].id);
    CHECK(stored["status"] == status);
    CHECK(stored["case_sha256"] == tools::sha256(members[k].case_text));
    CHECK(fs::exists(result.members[k]->folder / "summary.json") == (wanted != Outcome::refused));
  };
  is(0, Outcome::completed, "completed", "");
  is(1, Outcome::completed, "completed", "");
  is(2, Outcome::failed, "failed", "of copper is known from");
  is(3, Outcome::stopped, "stopped", "100 A");
  is(4, Outcome::refused, "refused", "titel");
  is(5, Outcome::refused, "refused", "The die would be wider than the spacer.");
  is(6, Outcome::refused, "refused", "\xfe");
  CHECK(result.members[0]->reason.empty());
  CHECK(tools::number_at(tools::summary_of(*result.members[2]), "cells").has_value());
  CHECK(tools::number_addresses(tools::summary_of(*result.members[4])).empty());

  members.pop_back();  // its reason is not the same bytes in JSON: it would be recorded again
  const auto again = run(folder.path, members);
  CHECK(again.run_now == 0);
  for (std::size_t k = 0; k < members.size(); ++k) {
    CHECK(again.members[k]->outcome == result.members[k]->outcome);
    CHECK(again.members[k]->reason == result.members[k]->reason);
  }
  members[5].refused = "The die would be wider than the ram.";
  CHECK(run(folder.path, members).run_now == 1);
  CHECK(outcome(folder.path, "of-the-plan")["reason"] == members[5].refused);
}

TEST_CASE("crew: interrupted members leave nothing that reads as ended, and signals act as before") {
  auto members = rods(3);
  cases::Case slow = cases::read_case(root / "cases" / "nickel-20mm.yaml");
  slow.accuracy = 1;  // K, a second's work
  members.insert(members.begin() + 2, {"slow", "slow", cases::resolved_case(slow)});
  const Folder folder("crew-interrupted");
  const fs::path home = folder.path / "members";
  const auto handler = [] {
    struct sigaction now {};
    sigaction(SIGTERM, nullptr, &now);
    return now.sa_handler;
  };
  const auto before = handler();
  std::jthread interrupt([&] {
    while (!fs::exists(home / "slow" / "resolved_case.yaml"))
      std::this_thread::sleep_for(std::chrono::milliseconds(1));
    std::this_thread::sleep_for(std::chrono::milliseconds(200));  // in the midst of its march
    std::raise(SIGTERM);
  });
  const auto result = run(folder.path, members, {}, 1);
  interrupt.join();
  const bool as_before = handler() == before;
  CHECK(as_before);
  CHECK(result.interrupted);
  CHECK(result.run_now == 2);
  CHECK(!result.members[2]);
  CHECK(!result.members[3]);
  CHECK(files_of(home / "slow").size() == 1);  // the case
  CHECK(!fs::exists(home / "rod-2"));
  const auto rest = run(folder.path, members);
  CHECK(!rest.interrupted);
  CHECK(rest.found == 2);
  CHECK(rest.run_now == 2);
  for (const auto& member : rest.members)
    CHECK(nlohmann::json::parse(tools::read_whole(member->folder / "summary.json"))["status"] == "completed");
}

TEST_CASE("crew: a file that several write at once is whole at every moment") {
  const Folder folder("crew-at-once");
  const fs::path file = folder.path / "summary.json";
  const std::string content(100000, 'x');
  tools::write_among_others(file, content);
  std::atomic<int> faults = 0;
  {
    std::vector<std::jthread> writers;
    for (int k = 0; k < 4; ++k)
      writers.emplace_back([&] {
        for (int i = 0; i < 100; ++i) {
          try {
            tools::write_among_others(file, content);
            faults += tools::read_whole(file) != content;
          } catch (const tools::FileError&) {
            ++faults;
          }
        }
      });
  }
  CHECK(faults == 0);
  CHECK(files_of(folder.path).size() == 1);
}

TEST_CASE(
    "crew: a folder that cannot be written to ends all with a file error, and nothing half reads as whole") {
  const Folder folder("crew-full");
  folder.write("members", "a file where the folder should be");
  auto members = rods(3);
  CHECK_THROWS_AS(run(folder.path, members), tools::FileError);
  fs::remove(folder.path / "members");

  // A disk that is full after the cases were written: no file may grow beyond them, but the histories do.
  std::uintmax_t room = 0;
  for (Member& member : members) {
    cases::Case c = cases::read_case("case.yaml", member.case_text);
    c.history_every = 0.05;  // s
    member.case_text = cases::resolved_case(c);
    room = std::max(room, std::uintmax_t(member.case_text.size()));
  }
  rlimit before{};
  REQUIRE(getrlimit(RLIMIT_FSIZE, &before) == 0);
  const auto handler = std::signal(SIGXFSZ, SIG_IGN);
  rlimit small = before;
  small.rlim_cur = room;
  REQUIRE(setrlimit(RLIMIT_FSIZE, &small) == 0);
  std::string said;
  try {
    run(folder.path, members);
  } catch (const tools::FileError& problem) {
    said = problem.what();
  }
  REQUIRE(setrlimit(RLIMIT_FSIZE, &before) == 0);
  std::signal(SIGXFSZ, handler);
  CHECK(said.find("is the folder writable and the disk not full?") != std::string::npos);
  for (const auto& [name, bytes] : files_of(folder.path)) {
    INFO(name);
    CHECK(fs::path(name).filename() == "resolved_case.yaml");
  }
  CHECK(run(folder.path, members).run_now == 3);
  for (const Member& member : members)
    CHECK(fs::file_size(folder.path / "members" / member.id / "history.csv") > room);
}

TEST_CASE("crew: ids and shares that are none are a mistake of the caller") {
  const Folder folder("crew-ids");
  auto members = rods(2);
  for (const char* id : {"", "Rod", "a/b", "..", "a b", "rod-1"}) {
    INFO(id);
    members[0].id = id;
    CHECK_THROWS_AS(run(folder.path, members), std::invalid_argument);
  }
  members = rods(2);
  for (const tools::Share share : {tools::Share{0, 1}, tools::Share{2, 1}, tools::Share{0, 0}})
    CHECK_THROWS_AS(run(folder.path, members, share), std::invalid_argument);
  CHECK(!fs::exists(folder.path / "members"));
  CHECK(run(folder.path, {}).members.empty());
  CHECK(tools::share_of("2/5")->number == 2);
  CHECK(tools::share_of("2/5")->of == 5);
  for (const char* word :
       {"", "/", "1", "1/", "/1", "0/3", "4/3", "-1/3", "1/3x", "1 /3", "1//3", "99999999999/3"}) {
    INFO(word);
    CHECK(!tools::share_of(word));
  }
}

TEST_CASE("crew: the line of progress counts outcomes and tells the rest by what was done in this call") {
  CHECK(tools::count_text({64, 0, 0, 0, 0}, 0) == "0 of 64 done");
  CHECK(tools::count_text({64, 31, 2, 0, 31}, 38) == "31 of 64 done, 2 failed, about 40 s left");
  CHECK(tools::count_text({64, 32, 0, 1, 2}, 10) == "32 of 64 done, 1 refused, about 3 min left");
  CHECK(tools::count_text({100, 50, 0, 0, 1}, 360) == "50 of 100 done, about 5.0 h left");
  CHECK(tools::count_text({64, 64, 2, 0, 33}, 80) == "64 of 64 done, 2 failed");
}
