# SPDX-License-Identifier: Apache-2.0
# Builds a text file into the program.
#
#   embed_file(OUT_VARIABLE SYMBOL name INPUT file [NAMESPACE name] [PACKAGE package])
#
# adds a rule that writes SYMBOL.cpp into the build directory and appends its path to OUT_VARIABLE. The file defines
#
#   namespace bakewright::report::embedded { extern const std::string_view SYMBOL, SYMBOL_sha256; }   # or NAMESPACE
#
# byte for byte, but for a trailing pointer to a source map, which a browser's developer tools would try to fetch.
# Without the input, configuring stops and names the package that has it.
#
# The rule calls this same file as a script.

if(CMAKE_SCRIPT_MODE_FILE STREQUAL CMAKE_CURRENT_LIST_FILE)
  file(READ "${INPUT}" text)
  string(REGEX REPLACE "\n//# sourceMappingURL=[^\n]*" "" text "${text}")
  string(REGEX REPLACE "\n/[*]# sourceMappingURL=[^*]*[*]/" "" text "${text}")
  file(WRITE "${OUTPUT}.txt" "${text}")
  file(SHA256 "${OUTPUT}.txt" hash)
  file(READ "${OUTPUT}.txt" bytes HEX)
  string(LENGTH "${bytes}" digits)
  math(EXPR size "${digits} / 2")
  string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${bytes}")
  string(REGEX REPLACE "(................................................................................)" "\\1\n" bytes "${bytes}")
  file(WRITE "${OUTPUT}" "// Written by tools/cmake/EmbedFile.cmake; do not edit.
#include <string_view>
namespace ${NAMESPACE} {
namespace {
const unsigned char bytes[] = {
${bytes}0x00};
}
extern const std::string_view ${SYMBOL};
extern const std::string_view ${SYMBOL}_sha256;
const std::string_view ${SYMBOL}(reinterpret_cast<const char*>(bytes), ${size});
const std::string_view ${SYMBOL}_sha256 = \"${hash}\";
}
")
  return()
endif()

set(EMBED_FILE_SCRIPT ${CMAKE_CURRENT_LIST_FILE})

function(embed_file out_variable)
  cmake_parse_arguments(EMBED "" "SYMBOL;INPUT;NAMESPACE;PACKAGE" "" ${ARGN})
  if(NOT EXISTS "${EMBED_INPUT}")
    if(EMBED_PACKAGE)
      message(FATAL_ERROR "${EMBED_INPUT} is missing: install the Debian package ${EMBED_PACKAGE}")
    endif()
    message(FATAL_ERROR "${EMBED_INPUT} is missing")
  endif()
  if(NOT EMBED_NAMESPACE)
    set(EMBED_NAMESPACE bakewright::report::embedded)
  endif()
  set(output ${CMAKE_CURRENT_BINARY_DIR}/embedded/${EMBED_SYMBOL}.cpp)
  add_custom_command(
    OUTPUT ${output}
    COMMAND ${CMAKE_COMMAND} -DINPUT=${EMBED_INPUT} -DOUTPUT=${output} -DSYMBOL=${EMBED_SYMBOL}
      -DNAMESPACE=${EMBED_NAMESPACE} -P ${EMBED_FILE_SCRIPT}
    DEPENDS ${EMBED_INPUT} ${EMBED_FILE_SCRIPT}
    COMMENT "Embedding ${EMBED_INPUT}"
    VERBATIM)
  set_source_files_properties(${output} PROPERTIES SKIP_UNITY_BUILD_INCLUSION ON) # each calls its bytes alike
  set(${out_variable} ${${out_variable}} ${output} PARENT_SCOPE)
endfunction()
