#include "geometry/files/unzip.hpp"

#include <fmt/format.h>
#include <zlib.h>

#include <algorithm>
#include <array>
#include <limits>
#include <optional>

namespace lastwright {
namespace {

using namespace std::string_view_literals;

constexpr auto kLocalHeader = "PK\x03\x04"sv;
constexpr auto kCentralHeader = "PK\x01\x02"sv;
constexpr auto kEndOfDirectory = "PK\x05\x06"sv;
constexpr std::size_t kLocalBytes = 30;
constexpr std::size_t kCentralBytes = 46;
constexpr std::size_t kEndBytes = 22;
constexpr std::size_t kLongestComment = 65535;
constexpr std::size_t kMostEntries = 10'000;
constexpr std::uint32_t kElsewhere = 0xFFFFFFFFU;  // the figure is in a part for archives over 4 GB

Problem broken(std::string message) {
  return {Trouble::kSyntax, std::move(message), {}, {}, {}};
}

// Little-endian; precondition: it lies within the bytes.
std::uint32_t number_at(std::string_view bytes, std::size_t at, std::size_t size) {
  std::uint32_t value = 0;
  for (std::size_t i = size; i-- > 0;) value = (value << 8U) | static_cast<unsigned char>(bytes[at + i]);
  return value;
}

std::optional<std::size_t> end_of_directory(std::string_view bytes) {
  if (bytes.size() < kEndBytes) return std::nullopt;
  const std::size_t last = bytes.size() - kEndBytes;
  const std::size_t first = last - std::min(last, kLongestComment);
  for (std::size_t at = last + 1; at-- > first;) {
    if (bytes.substr(at).starts_with(kEndOfDirectory)) return at;
  }
  return std::nullopt;
}

class Inflater {
 public:
  Inflater() { good_ = inflateInit2(&stream_, -MAX_WBITS) == Z_OK; }  // no header of its own within a ZIP
  ~Inflater() {
    if (good_) inflateEnd(&stream_);
  }
  Inflater(const Inflater&) = delete;
  Inflater& operator=(const Inflater&) = delete;

  // Empty: the packed bytes are broken or cut short. More than `most` come out as more than `most`.
  std::optional<std::string> all_of(std::string_view packed, std::size_t most) {
    if (!good_ || packed.size() > std::numeric_limits<uInt>::max()) return std::nullopt;
    stream_.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(packed.data()));  // zlib only reads it
    stream_.avail_in = static_cast<uInt>(packed.size());
    std::string out;
    std::array<char, 1 << 16> part{};
    for (;;) {
      stream_.next_out = reinterpret_cast<Bytef*>(part.data());
      stream_.avail_out = static_cast<uInt>(part.size());
      const int said = inflate(&stream_, Z_NO_FLUSH);
      out.append(part.data(), part.size() - stream_.avail_out);
      if (said == Z_STREAM_END || out.size() > most) return out;
      if (said != Z_OK || (stream_.avail_in == 0 && stream_.avail_out > 0)) return std::nullopt;
    }
  }

 private:
  z_stream stream_{};
  bool good_ = false;
};

}  // namespace

bool looks_like_zip(std::string_view bytes) {
  return bytes.starts_with(kLocalHeader);
}

Result<ZipArchive> ZipArchive::open(std::string_view bytes, std::size_t most_unpacked) {
  const auto end = end_of_directory(bytes);
  if (!end) return broken("the ZIP archive is cut short: its directory is missing");
  ZipArchive archive;
  archive.bytes_ = bytes;
  archive.most_ = archive.left_ = most_unpacked;
  const std::size_t count = number_at(bytes, *end + 10, 2);
  const std::uint32_t start = number_at(bytes, *end + 16, 4);
  if (start == kElsewhere || count > kMostEntries)
    return broken(
        fmt::format("the ZIP archive is larger than a document: over 4 GB or {} files", kMostEntries));
  std::size_t at = start;
  for (std::size_t i = 0; i < count; ++i) {
    if (at > *end || *end - at < kCentralBytes || !bytes.substr(at).starts_with(kCentralHeader))
      return broken("the directory of the ZIP archive is broken");
    const std::size_t name_size = number_at(bytes, at + 28, 2);
    const std::size_t whole =
        kCentralBytes + name_size + number_at(bytes, at + 30, 2) + number_at(bytes, at + 32, 2);
    if (*end - at < whole) return broken("the directory of the ZIP archive is broken");
    const Entry entry{number_at(bytes, at + 42, 4), number_at(bytes, at + 20, 4),
                      number_at(bytes, at + 16, 4), static_cast<int>(number_at(bytes, at + 10, 2)),
                      (number_at(bytes, at + 8, 2) & 1U) != 0};
    const auto [place, is_new] =
        archive.entries_.try_emplace(std::string(bytes.substr(at + kCentralBytes, name_size)), entry);
    if (!is_new) return broken("the directory of the ZIP archive names a file twice");
    at += whole;
  }
  return archive;
}

Result<std::string> ZipArchive::unpacked(const std::string& name) {
  const auto found = entries_.find(name);
  if (found == entries_.end()) return broken(fmt::format("the archive has no {}", name));
  const Entry& entry = found->second;
  if (entry.encrypted) return broken(fmt::format("{} in the archive is encrypted", name));
  if (entry.method != 0 && entry.method != 8)
    return broken(fmt::format("{} in the archive is packed by method {}, not by 0 or 8", name, entry.method));
  const Problem cut = broken(fmt::format("{} in the archive is cut short or broken", name));
  if (entry.header > bytes_.size() || bytes_.size() - entry.header < kLocalBytes ||
      !bytes_.substr(entry.header).starts_with(kLocalHeader))
    return cut;
  const std::size_t first = entry.header + kLocalBytes + number_at(bytes_, entry.header + 26, 2) +
                            number_at(bytes_, entry.header + 28, 2);
  if (first > bytes_.size() || bytes_.size() - first < entry.packed) return cut;
  const std::string_view packed = bytes_.substr(first, entry.packed);
  std::optional<std::string> out;
  if (entry.method == 0) {
    out = std::string(packed);
  } else {
    out = Inflater().all_of(packed, left_);
  }
  if (!out) return cut;
  if (out->size() > left_) {
    return Problem{
        Trouble::kBudget, fmt::format("the archive unpacks to more than {} MB", most_ >> 20U), {}, {}, {}};
  }
  left_ -= out->size();
  const auto checksum = crc32_z(0, reinterpret_cast<const Bytef*>(out->data()), out->size());
  if (checksum != entry.checksum)
    return broken(fmt::format("{} in the archive does not have its checksum", name));
  return *std::move(out);
}

}  // namespace lastwright
