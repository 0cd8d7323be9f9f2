# SPDX-License-Identifier: Apache-2.0
# Precompiled headers, for builds that are thrown away such as the sanitized one: foreign and standard headers are most of what the
# compiler reads. Off by default: only a build without them proves that every file includes what it uses. The headers of bakewright
# itself are never among them. Nothing of this reaches the installed package.

# Not <filesystem>: it brings std::quoted, which argument-dependent look-up then finds beside our quoted().
set(BAKEWRIGHT_STANDARD_HEADERS
  <algorithm> <array> <charconv> <cmath> <cstdint> <fstream> <functional> <limits> <map> <memory> <numeric> <optional>
  <random> <set> <span> <sstream> <stdexcept> <string> <string_view> <utility> <vector> <fmt/format.h>)

# A library that holds nothing but precompiled headers, compiled with the options of those that use them.
function(bakewright_precompiled_set name)
  set(file ${CMAKE_BINARY_DIR}/precompiled/${name}.cpp)
  file(CONFIGURE OUTPUT ${file} CONTENT "// Written by tools/cmake/BakewrightPrecompiled.cmake; holds nothing.\n")
  add_library(${name} OBJECT ${file})
  target_link_libraries(${name} PRIVATE bakewright_options fmt::fmt)
  target_precompile_headers(${name} PRIVATE ${BAKEWRIGHT_STANDARD_HEADERS} ${ARGN})
endfunction()

if(BAKEWRIGHT_PRECOMPILED_HEADERS)
  find_package(fmt REQUIRED)
  if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU")
    # Without it ccache passes by every file that uses a precompiled header. See also CCACHE_SLOPPINESS in tools/common.sh.
    target_compile_options(bakewright_options INTERFACE -fpch-preprocess)
  endif()
  # What fmt defines is part of the precompiled headers, and so has to be defined for areas that do not link to it, too.
  target_compile_definitions(bakewright_options INTERFACE $<TARGET_PROPERTY:fmt::fmt,INTERFACE_COMPILE_DEFINITIONS>)
  # A precompiled header fits only what is compiled with the same options: areas, or programs.
  bakewright_precompiled_set(bakewright_precompiled_area)
  set_target_properties(bakewright_precompiled_area PROPERTIES POSITION_INDEPENDENT_CODE ON CXX_EXTENSIONS OFF)
  if(BAKEWRIGHT_BUILD_TESTS)
    find_package(doctest REQUIRED)
    bakewright_precompiled_set(bakewright_precompiled_tests <doctest/doctest.h>)
    target_link_libraries(bakewright_precompiled_tests PRIVATE doctest::doctest)
  endif()
endif()

# bakewright_precompile(TARGET SET [<header> ...]): the headers of SET; with more headers, a set of the target's own.
function(bakewright_precompile target set)
  if(NOT BAKEWRIGHT_PRECOMPILED_HEADERS)
    return()
  endif()
  if(ARGN)
    get_target_property(headers ${set} PRECOMPILE_HEADERS)
    target_precompile_headers(${target} PRIVATE ${headers} ${ARGN})
  else()
    target_precompile_headers(${target} REUSE_FROM ${set})
  endif()
  # Deferred, because such options are set after the target is; by way of EVAL, because a deferred call sees no variable of ours.
  cmake_language(EVAL CODE "cmake_language(DEFER CALL bakewright_precompile_not ${target})")
endfunction()

# A source with compiler options of its own, such as an instruction set, cannot read what was compiled without them.
function(bakewright_precompile_not target)
  get_target_property(sources ${target} SOURCES)
  foreach(source IN LISTS sources)
    get_source_file_property(options ${source} COMPILE_OPTIONS)
    get_source_file_property(skips ${source} SKIP_PRECOMPILE_HEADERS)
    if(options OR skips)
      # Nor may it be joined to sources that were.
      set_source_files_properties(${source} PROPERTIES SKIP_PRECOMPILE_HEADERS ON SKIP_UNITY_BUILD_INCLUSION ON)
    endif()
  endforeach()
endfunction()
