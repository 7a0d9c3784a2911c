#include "tools/crew/crew.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <charconv>
#include <exception>
#include <mutex>
#include <set>
#include <stdexcept>
#include <thread>

#include "tools/crew/member.hpp"
#include "tools/crew/side_by_side.hpp"
#include "tools/crew/stop.hpp"
#include "tools/screen/progress.hpp"
#include "tools/store/files.hpp"

namespace joulepress::tools {
namespace {

void check(const CrewRequest& request, std::span<const Member> members) {
  if (request.share.number < 1 || request.share.number > request.share.of)
    throw std::invalid_argument(fmt::format("no share: {}/{}", request.share.number, request.share.of));
  constexpr const char* allowed = "abcdefghijklmnopqrstuvwxyz0123456789-";
  std::set<std::string> seen;
  for (const Member& member : members)
    if (member.id.empty() || member.id.find_first_not_of(allowed) != std::string::npos ||
        !seen.insert(member.id).second)
      throw std::invalid_argument(fmt::format("no id for a member, or not its own: \"{}\"", member.id));
}

void add(Count& count, const Finished& finished) {
  ++count.done;
  count.failed += finished.outcome == Outcome::failed;
  count.refused += finished.outcome == Outcome::refused;
}

/// What the threads share; behind the mutex, but for what is atomic or never changes.
class Crew {
 public:
  Crew(std::filesystem::path home, std::span<const Member> members, const CrewRequest& request)
      : home_(std::move(home)), members_(members), line_(request.quiet) {
    result_.members.resize(members.size());
    for (std::size_t k = 0; k < members.size(); ++k) {
      const bool ours = static_cast<int>(k % request.share.of) == request.share.number - 1;
      count_.of += ours;
      if (auto ended = ended_before(home_ / members[k].id, members[k])) {
        if (ours) add(count_, *ended);
        ++result_.found;
        result_.members[k] = std::move(ended);
      } else if (ours) {
        open_.push_back(k);
      }
    }
  }

  CrewResult run(int threads) {
    line_.show(count_);
    {
      std::vector<std::jthread> pool;
      for (int i = 0; i < std::min(threads, static_cast<int>(open_.size())); ++i)
        pool.emplace_back([this] { work(); });
    }  // all have left
    line_.finish();
    if (fault_) std::rethrow_exception(fault_);
    result_.interrupted = signals_.asked();
    return std::move(result_);
  }

 private:
  bool goes_on() const { return !broken_ && !signals_.asked(); }

  void work() {
    while (goes_on()) {
      const std::size_t at = next_++;
      if (at >= open_.size()) return;
      try {
        do_one(open_[at]);
      } catch (...) {  // the folder or the machine: no member can do better
        const std::lock_guard lock(mutex_);
        if (!fault_) fault_ = std::current_exception();
        broken_ = true;
      }
    }
  }

  void do_one(std::size_t k) {
    const std::filesystem::path folder = home_ / members_[k].id;
    auto finished = ended_before(folder, members_[k]);  // by another process since
    const bool found = finished.has_value();
    if (!found) finished = run_member(folder, members_[k], [this] { return goes_on(); });
    if (!finished) return;
    const std::lock_guard lock(mutex_);
    add(count_, *finished);
    ++(found ? result_.found : result_.run_now);
    count_.now = result_.run_now;
    result_.members[k] = std::move(finished);
    line_.show(count_);
  }

  const std::filesystem::path home_;
  const std::span<const Member> members_;
  const StopSignals signals_;
  std::vector<std::size_t> open_;  ///< members to run, in their order
  std::atomic<std::size_t> next_ = 0;
  std::atomic<bool> broken_ = false;
  std::mutex mutex_;
  CountLine line_;
  Count count_;
  CrewResult result_;
  std::exception_ptr fault_;
};

}  // namespace

std::optional<Share> share_of(const std::string& word) {
  Share share;
  const char* const end = word.data() + word.size();
  const auto number = std::from_chars(word.data(), end, share.number);
  if (number.ec != std::errc() || number.ptr == end || *number.ptr != '/') return {};
  const auto of = std::from_chars(number.ptr + 1, end, share.of);
  if (of.ec != std::errc() || of.ptr != end || share.number < 1 || share.number > share.of) return {};
  return share;
}

CrewResult run_members(const CrewRequest& request, std::span<const Member> members) {
  check(request, members);
  const std::filesystem::path home = request.folder / "members";
  make_folder(home);
  return Crew(home, members, request).run(request.threads > 0 ? request.threads : cores());
}

}  // namespace joulepress::tools
