# Files become read-only data of the binary, so that one file is the whole program.
# leafturn_embed(target, set, globs…) defines `leafturn::embedded::SET()`, declared in embedded/SET.hpp.
function(leafturn_embed target set)
  set(files)
  foreach(glob ${ARGN})
    file(GLOB_RECURSE found CONFIGURE_DEPENDS RELATIVE ${CMAKE_SOURCE_DIR} ${CMAKE_SOURCE_DIR}/${glob})
    list(APPEND files ${found})
  endforeach()
  list(SORT files)
  set(dir ${CMAKE_BINARY_DIR}/embedded)
  leafturn_write_embedding(${set} ${CMAKE_SOURCE_DIR} ${dir} "${files}")
  set(absolute ${files})
  list(TRANSFORM absolute PREPEND ${CMAKE_SOURCE_DIR}/)
  set_source_files_properties(${dir}/${set}.S PROPERTIES OBJECT_DEPENDS "${absolute}")
  target_sources(${target} PRIVATE ${dir}/${set}.S ${dir}/${set}.cpp)
  target_include_directories(${target} PUBLIC ${CMAKE_BINARY_DIR})
endfunction()

# The assembler includes each file's bytes; the table gives name, start, end.
function(leafturn_write_embedding set root dir files)
  set(asm ".section .rodata\n")
  set(decls "")
  set(rows "")
  set(i 0)
  foreach(file ${files})
    string(APPEND asm ".global leafturn_${set}_${i}\n.global leafturn_${set}_${i}_end\nleafturn_${set}_${i}:\n.incbin \"${root}/${file}\"\nleafturn_${set}_${i}_end:\n.byte 0\n")
    string(APPEND decls "extern const char leafturn_${set}_${i}[];\nextern const char leafturn_${set}_${i}_end[];\n")
    string(APPEND rows "    {\"${file}\", {leafturn_${set}_${i}, static_cast<std::size_t>(leafturn_${set}_${i}_end - leafturn_${set}_${i})}},\n")
    math(EXPR i "${i}+1")
  endforeach()
  string(APPEND asm ".section .note.GNU-stack,\"\",%progbits\n")
  file(CONFIGURE OUTPUT ${dir}/${set}.S CONTENT "${asm}" @ONLY)
  # One header shape for every set would redefine File; keep it in one place.
  file(CONFIGURE OUTPUT ${dir}/file.hpp @ONLY CONTENT "#pragma once
#include <string_view>
namespace leafturn::embedded {
struct File { std::string_view name; std::string_view bytes; };
}
")
  file(CONFIGURE OUTPUT ${dir}/${set}.hpp @ONLY CONTENT "#pragma once
#include <vector>
#include \"embedded/file.hpp\"
namespace leafturn::embedded {
/// The files embedded at build time, sorted by name (path from the repository's root).
const std::vector<File>& ${set}();
}
")
  file(CONFIGURE OUTPUT ${dir}/${set}.cpp @ONLY CONTENT "#include \"embedded/${set}.hpp\"
#include <cstddef>
extern \"C\" {
${decls}}
namespace leafturn::embedded {
const std::vector<File>& ${set}() {
  static const std::vector<File> files{
${rows}  };
  return files;
}
}
")
endfunction()

# The pages: built by web/build.mjs into web/dist when node is there; the listing is fixed so that ninja knows it.
function(leafturn_embed_web target)
  set(dist ${CMAKE_BINARY_DIR}/web)
  set(files index.html app.js app.css worker.js counting.html policy.txt manifest.webmanifest icon.svg version.txt)
  file(GLOB_RECURSE inputs CONFIGURE_DEPENDS ${CMAKE_SOURCE_DIR}/web/src/*)
  list(APPEND inputs ${CMAKE_SOURCE_DIR}/web/build.mjs ${CMAKE_SOURCE_DIR}/web/package-lock.json)
  set(outputs ${files})
  list(TRANSFORM outputs PREPEND ${dist}/)
  add_custom_command(OUTPUT ${outputs}
    COMMAND node build.mjs ${dist}
    WORKING_DIRECTORY ${CMAKE_SOURCE_DIR}/web
    DEPENDS ${inputs}
    COMMENT "pages: type-check and bundle" VERBATIM)
  add_custom_target(web_pages DEPENDS ${outputs})
  set(dir ${CMAKE_BINARY_DIR}/embedded)
  leafturn_write_embedding(web ${dist} ${dir} "${files}")
  set_source_files_properties(${dir}/web.S PROPERTIES OBJECT_DEPENDS "${outputs}")
  target_sources(${target} PRIVATE ${dir}/web.S ${dir}/web.cpp)
  target_include_directories(${target} PUBLIC ${CMAKE_BINARY_DIR})
  add_dependencies(${target} web_pages)
endfunction()
