#pragma once
/// A text as a QR code (ISO/IEC 18004), drawn by ourselves from a library's modules.

#include <string>

namespace leafturn::render {

/// An SVG drawing on white with the standard's quiet zone of four modules; empty when the text is too long for any code.
std::string qr_svg(const std::string& text);
/// For a terminal: two rows of modules in a line, dark on light whatever the terminal's colours.
std::string qr_text(const std::string& text);

}  // namespace leafturn::render
