// SHA-256 (FIPS 180-4, section 6.2): the digests of the manifest.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

namespace lastwright {

using Sha256Digest = std::array<std::uint8_t, 32>;

Sha256Digest sha256(std::string_view bytes);

std::string to_hex(const Sha256Digest& digest);  // 64 lower-case digits

}  // namespace lastwright
