#include <fcntl.h>
#include <sys/mman.h>
#include <unistd.h>
#include <IGESControl_Reader.hxx>
#include <Interface_Static.hxx>
#include <mutex>

#include "geometry/solid/kernel/impl.hpp"

namespace lastwright {

namespace {

// The kernel reads IGES from files only: the bytes as a file that exists in memory alone.
class MemoryFile {
 public:
  explicit MemoryFile(std::string_view bytes) : file_(memfd_create("last", MFD_CLOEXEC)) {
    while (file_ >= 0 && !bytes.empty()) {
      const ssize_t n = write(file_, bytes.data(), bytes.size());
      if (n <= 0) return;
      bytes.remove_prefix(static_cast<std::size_t>(n));
    }
    whole_ = file_ >= 0;
  }
  MemoryFile(const MemoryFile&) = delete;
  MemoryFile& operator=(const MemoryFile&) = delete;
  ~MemoryFile() {
    if (file_ >= 0) close(file_);
  }
  [[nodiscard]] bool whole() const { return whole_; }
  [[nodiscard]] std::string name() const { return fmt::format("/proc/self/fd/{}", file_); }

 private:
  int file_;
  bool whole_ = false;
};

}  // namespace

Result<KernelShape> read_iges(std::string_view bytes) {
  if (bytes.size() > kMaxStepBytes) {
    return Problem{Trouble::kBudget,
                   "the IGES file is larger than this program reads",
                   {},
                   static_cast<double>(bytes.size()),
                   static_cast<double>(kMaxStepBytes)};
  }
  quieten_kernel();
  return guarded("reading the IGES file", [&]() -> Result<KernelShape> {
    static std::mutex one_at_a_time;
    const std::scoped_lock lock(one_at_a_time);
    const MemoryFile file(bytes);
    if (!file.whole())
      return Problem{Trouble::kFileSystem, "no room for the IGES file in memory", {}, {}, {}};
    IGESControl_Reader reader;
    if (reader.ReadFile(file.name().c_str()) != IFSelect_RetDone)
      return Problem{Trouble::kSyntax, "the IGES file could not be parsed", {}, {}, {}};
    reader.TransferRoots();
    const TopoDS_Shape all = reader.OneShape();
    if (all.IsNull()) return Problem{Trouble::kBadValue, "the IGES file holds no shape", {}, {}, {}};
    return one_solid(all);
  });
}

}  // namespace lastwright
