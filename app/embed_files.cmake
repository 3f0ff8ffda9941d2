# Writes a source file that holds other files byte for byte: cmake -DOUTPUT=... -DFUNCTION=... -DFILES=a|b|... -P this.
string(REPLACE "|" ";" FILES "${FILES}")
set(arrays "")
set(entries "")
set(number 0)
foreach(file IN LISTS FILES)
  get_filename_component(name "${file}" NAME)
  file(READ "${file}" bytes HEX)
  string(LENGTH "${bytes}" digits)
  math(EXPR size "${digits} / 2")
  string(REGEX REPLACE "(..)" "'\\\\x\\1'," bytes "${bytes}")
  string(APPEND arrays "const char file_${number}[] = {${bytes}'\\0'};\n")
  string(APPEND entries "    {\"${name}\", {file_${number}, ${size}}},\n")
  math(EXPR number "${number} + 1")
endforeach()
file(WRITE "${OUTPUT}" "// Written by the build; change the files it holds instead.
#include \"app/embedded_file.hpp\"

#include <span>

namespace reedwright::app {

std::span<const EmbeddedFile> ${FUNCTION}();

namespace {
${arrays}
const EmbeddedFile files[] = {
${entries}};
}  // namespace

std::span<const EmbeddedFile> ${FUNCTION}() {
    return files;
}

}  // namespace reedwright::app
")
