#include "geometry/files/zip_write.hpp"

#include <zlib.h>

#include <cstdint>

#include "geometry/invariant.hpp"

namespace lastwright {

namespace {

constexpr std::uint32_t kDate1980 = 0x21;  // day 1, month 1, year 0 from 1980
constexpr std::uint32_t kDeflated = 8;
constexpr std::uint32_t kVersion = 20;  // 2.0: deflated files

void put_number(std::string& out, std::uint32_t value, int bytes) {
  for (int i = 0; i < bytes; ++i) out += static_cast<char>((value >> (8 * i)) & 0xFFU);
}

std::string deflated(std::string_view bytes) {
  z_stream stream{};
  // No header of its own within a ZIP; 8 is the library's own choice of memory.
  invariant(
      deflateInit2(&stream, Z_DEFAULT_COMPRESSION, Z_DEFLATED, -MAX_WBITS, 8, Z_DEFAULT_STRATEGY) == Z_OK,
      "there is memory to pack with");
  std::string out(deflateBound(&stream, bytes.size()), '\0');
  stream.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(bytes.data()));  // zlib only reads it
  stream.avail_in = static_cast<uInt>(bytes.size());
  stream.next_out = reinterpret_cast<Bytef*>(out.data());
  stream.avail_out = static_cast<uInt>(out.size());
  invariant(deflate(&stream, Z_FINISH) == Z_STREAM_END, "what is packed fits its bound");
  out.resize(stream.total_out);
  deflateEnd(&stream);
  return out;
}

}  // namespace

std::string zip_archive(const std::vector<ZipPart>& parts) {
  std::string out;
  std::string directory;
  for (const ZipPart& part : parts) {
    const std::string packed = deflated(part.bytes);
    const auto place = static_cast<std::uint32_t>(out.size());
    std::string shared;  // by the header of the file and its line in the directory
    put_number(shared, kVersion, 2);
    put_number(shared, 0, 2);
    put_number(shared, kDeflated, 2);
    put_number(shared, kDate1980 << 16U, 4);
    put_number(shared,
               static_cast<std::uint32_t>(
                   crc32_z(0, reinterpret_cast<const Bytef*>(part.bytes.data()), part.bytes.size())),
               4);
    put_number(shared, static_cast<std::uint32_t>(packed.size()), 4);
    put_number(shared, static_cast<std::uint32_t>(part.bytes.size()), 4);
    put_number(shared, static_cast<std::uint32_t>(part.name.size()), 2);
    put_number(shared, 0, 2);
    out += "PK\x03\x04" + shared + part.name + packed;
    directory += "PK\x01\x02";
    put_number(directory, kVersion, 2);
    directory += shared;
    put_number(directory, 0, 2);  // comment
    put_number(directory, 0, 2);  // disk
    put_number(directory, 0, 2);
    put_number(directory, 0, 4);
    put_number(directory, place, 4);
    directory += part.name;
  }
  const auto start = static_cast<std::uint32_t>(out.size());
  out += directory + "PK\x05\x06";
  put_number(out, 0, 4);
  for (int i = 0; i < 2; ++i) put_number(out, static_cast<std::uint32_t>(parts.size()), 2);
  put_number(out, static_cast<std::uint32_t>(directory.size()), 4);
  put_number(out, start, 4);
  put_number(out, 0, 2);
  return out;
}

}  // namespace lastwright
