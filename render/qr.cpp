#include "render/qr.hpp"

#include <optional>
#include <qrcodegen/QrCode.hpp>
#include <stdexcept>

namespace leafturn::render {
namespace {

constexpr int quiet = 4;

std::optional<qrcodegen::QrCode> code_of(const std::string& text) {
  try {
    // Medium: up to 15 % of the drawing may be dirt or glare.
    return qrcodegen::QrCode::encodeText(text.c_str(), qrcodegen::QrCode::Ecc::MEDIUM);
  } catch (const std::length_error&) {
    return std::nullopt;
  }
}

}  // namespace

std::string qr_svg(const std::string& text) {
  const auto code = code_of(text);
  if (!code) return {};
  const int size = code->getSize();
  const std::string side = std::to_string(size + 2 * quiet);
  std::string path;
  for (int y = 0; y < size; ++y)
    for (int x = 0; x < size; ++x)
      if (code->getModule(x, y)) path += "M" + std::to_string(x + quiet) + "," + std::to_string(y + quiet) + "h1v1h-1z";
  return "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 " + side + " " + side +
         "\" shape-rendering=\"crispEdges\"><rect width=\"" + side + "\" height=\"" + side + "\" fill=\"#fff\"/><path d=\"" + path +
         "\" fill=\"#000\"/></svg>";
}

std::string qr_text(const std::string& text) {
  const auto code = code_of(text);
  if (!code) return {};
  const int size = code->getSize();
  std::string out;
  for (int y = -quiet; y < size + quiet; y += 2) {
    out += "\x1b[30;107m";
    for (int x = -quiet; x < size + quiet; ++x) {
      const bool upper = code->getModule(x, y), lower = code->getModule(x, y + 1);
      out += upper && lower ? "█" : upper ? "▀" : lower ? "▄" : " ";
    }
    out += "\x1b[0m\n";
  }
  return out;
}

}  // namespace leafturn::render
