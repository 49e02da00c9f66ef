#include "cli/files/sha256.hpp"

#include <openssl/evp.h>

#include "geometry/invariant.hpp"

namespace lastwright {

Sha256Digest sha256(std::string_view bytes) {
  static const EVP_MD* const method = EVP_sha256();
  Sha256Digest digest{};
  unsigned length = 0;
  const int done = EVP_Digest(bytes.data(), bytes.size(), digest.data(), &length, method, nullptr);
  invariant(done == 1 && length == digest.size(), "SHA-256 is part of every libcrypto");
  return digest;
}

std::string to_hex(const Sha256Digest& digest) {
  constexpr std::string_view kDigits = "0123456789abcdef";
  std::string text;
  for (const std::uint8_t byte : digest) {
    text += kDigits[byte >> 4];
    text += kDigits[byte & 15];
  }
  return text;
}

}  // namespace lastwright
