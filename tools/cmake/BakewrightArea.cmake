# SPDX-License-Identifier: Apache-2.0
# One library target an area, each with an include root of its own that shows nothing but that area's headers. An area
# therefore cannot include a header of an area it is not linked to: the build refuses an upward include.

add_library(bakewright_options INTERFACE)
target_compile_features(bakewright_options INTERFACE cxx_std_20)
target_compile_options(bakewright_options INTERFACE
  -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wnon-virtual-dtor -Wold-style-cast -Wimplicit-fallthrough)
if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU" AND CMAKE_CXX_COMPILER_VERSION VERSION_LESS 13)
  # Optimised string concatenation sets off a false alarm in this compiler (GCC bug 105651).
  target_compile_options(bakewright_options INTERFACE -Wno-restrict)
endif()
if(BAKEWRIGHT_WARNINGS_AS_ERRORS)
  target_compile_options(bakewright_options INTERFACE -Werror)
endif()
if(BAKEWRIGHT_SANITIZE)
  target_compile_options(bakewright_options INTERFACE -fsanitize=${BAKEWRIGHT_SANITIZE} -fno-sanitize-recover=all
    -fno-omit-frame-pointer)
  if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU")
    # What the sanitizers add hides from the compiler that an empty optional is empty: false alarms, as its manual says.
    target_compile_options(bakewright_options INTERFACE -Wno-maybe-uninitialized)
  endif()
  target_link_options(bakewright_options INTERFACE -fsanitize=${BAKEWRIGHT_SANITIZE})
  if(BAKEWRIGHT_SANITIZE MATCHES "address" AND BAKEWRIGHT_SANITIZE MATCHES "undefined")
    # A third of the time to compile goes into checks before every access through a pointer or reference. Where both are on, the
    # address sanitizer stops at each such access to null by itself; what is lost is a null reference that is never read.
    target_compile_options(bakewright_options INTERFACE -fno-sanitize=null)
  endif()
endif()

include(BakewrightPrecompiled)

# Libraries that are headers alone.
set(BAKEWRIGHT_HEADER_LIBRARIES Boost::headers Eigen3::Eigen FastFloat::fast_float nlohmann_json::nlohmann_json)

set(BAKEWRIGHT_AREA_INCLUDE_ROOT ${CMAKE_BINARY_DIR}/area_include)

# bakewright_area(NAME SOURCES a.cpp ... [USES area ...] [LIBRARIES target ...] [PRECOMPILE <header> ...])
# PRECOMPILE: costly foreign headers that several of the sources read; see BakewrightPrecompiled.cmake.
function(bakewright_area name)
  cmake_parse_arguments(AREA "" "" "SOURCES;USES;LIBRARIES;PRECOMPILE" ${ARGN})
  set(root ${BAKEWRIGHT_AREA_INCLUDE_ROOT}/${name})
  file(MAKE_DIRECTORY ${root}/bakewright)
  set(headers ${CMAKE_SOURCE_DIR}/include/bakewright/${name})
  if(NOT EXISTS ${headers})
    set(headers ${CMAKE_CURRENT_SOURCE_DIR}) # an area of the program, which no library shows: its headers lie beside its sources
  endif()
  file(CREATE_LINK ${headers} ${root}/bakewright/${name} SYMBOLIC)

  add_library(bakewright_${name} STATIC ${AREA_SOURCES})
  add_library(bakewright::${name} ALIAS bakewright_${name})
  set_target_properties(bakewright_${name} PROPERTIES EXPORT_NAME ${name} POSITION_INDEPENDENT_CODE ON CXX_EXTENSIONS OFF)
  target_include_directories(bakewright_${name}
    PUBLIC $<BUILD_INTERFACE:${root}> $<INSTALL_INTERFACE:${CMAKE_INSTALL_INCLUDEDIR}>
    PRIVATE ${CMAKE_CURRENT_SOURCE_DIR})
  target_link_libraries(bakewright_${name} PRIVATE $<BUILD_INTERFACE:bakewright_options>)
  target_compile_features(bakewright_${name} PUBLIC cxx_std_20)
  if(name IN_LIST BAKEWRIGHT_OPTIMISED_AREAS)
    target_compile_options(bakewright_${name} PRIVATE -O1)
  else() # what was precompiled without optimising is of no use to what is optimised
    bakewright_precompile(bakewright_${name} bakewright_precompiled_area ${AREA_PRECOMPILE})
  endif()
  foreach(used ${AREA_USES})
    target_link_libraries(bakewright_${name} PUBLIC bakewright_${used})
  endforeach()
  foreach(library ${AREA_LIBRARIES})
    if(library IN_LIST BAKEWRIGHT_HEADER_LIBRARIES)
      # No public header shows it and nothing of it is linked: whoever uses the installed area need not have it.
      target_link_libraries(bakewright_${name} PRIVATE $<BUILD_INTERFACE:${library}>)
    else()
      target_link_libraries(bakewright_${name} PRIVATE ${library})
    endif()
  endforeach()
  set_property(GLOBAL PROPERTY BAKEWRIGHT_USES_${name} ${AREA_USES})
  if(NOT EXISTS ${CMAKE_SOURCE_DIR}/include/bakewright/${name})
    return()
  endif()
  install(TARGETS bakewright_${name} EXPORT bakewright ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT development)
  install(DIRECTORY ${CMAKE_SOURCE_DIR}/include/bakewright/${name}
    DESTINATION ${CMAKE_INSTALL_INCLUDEDIR}/bakewright COMPONENT development)
endfunction()

# bakewright_tests(NAME SOURCES a_test.cpp ... USES area ... [LIBRARIES target ...] [PRECOMPILE <header> ...]): a doctest program
# test_NAME, each case a ctest. doctest's own code and main() are compiled once for all.
function(bakewright_tests name)
  cmake_parse_arguments(TESTS "" "" "SOURCES;USES;LIBRARIES;PRECOMPILE" ${ARGN})
  if(NOT TARGET bakewright_test_main)
    add_library(bakewright_test_main OBJECT ${CMAKE_SOURCE_DIR}/tests/support/main.cpp)
    target_link_libraries(bakewright_test_main PRIVATE bakewright_options doctest::doctest)
  endif()
  add_executable(test_${name} $<TARGET_OBJECTS:bakewright_test_main> ${TESTS_SOURCES})
  target_include_directories(test_${name} PRIVATE ${CMAKE_SOURCE_DIR}/tests)
  target_compile_definitions(test_${name} PRIVATE BAKEWRIGHT_TEST_DATA="${CMAKE_SOURCE_DIR}/tests/data"
    BAKEWRIGHT_PROFILES="${CMAKE_SOURCE_DIR}/profiles")
  target_link_libraries(test_${name} PRIVATE bakewright_options doctest::doctest ${TESTS_LIBRARIES})
  foreach(used ${TESTS_USES})
    target_link_libraries(test_${name} PRIVATE bakewright_${used})
  endforeach()
  bakewright_precompile(test_${name} bakewright_precompiled_tests ${TESTS_PRECOMPILE})
  doctest_discover_tests(test_${name} TEST_PREFIX "${name}: ")
endfunction()
