# SPDX-License-Identifier: Apache-2.0
# What others need to use an installed bakewright: the exported targets, a version file, a configuration that finds the libraries our
# static ones link to, and the profiles. Included at the end of the top CMakeLists.txt, when every area is known.

include(CMakePackageConfigHelpers)

set(BAKEWRIGHT_PACKAGE_DIR ${CMAKE_INSTALL_LIBDIR}/cmake/bakewright)

# The find_dependency() line for a library that an area links to; empty for one that needs none.
function(bakewright_dependency_line library result)
  set(line "")
  if(library MATCHES "^Boost::headers$")
    set(line "find_dependency(Boost 1.74)")
  elseif(library MATCHES "^Boost::(.+)$")
    set(line "find_dependency(Boost 1.74 COMPONENTS ${CMAKE_MATCH_1})")
  elseif(library MATCHES "^OpenSSL::(.+)$")
    set(line "find_dependency(OpenSSL COMPONENTS ${CMAKE_MATCH_1})")
  elseif(library MATCHES "^SQLite::SQLite3$")
    set(line "find_dependency(SQLite3)")
  elseif(library MATCHES "^(fmt|zstd|Eigen3|nlohmann_json|tomlplusplus|FastFloat|Threads)::.+$")
    set(line "find_dependency(${CMAKE_MATCH_1})")
  elseif(library MATCHES "::")
    message(FATAL_ERROR "An installed library links ${library}: say in BakewrightInstall.cmake how a user's build finds it")
  endif()
  set(${result} "${line}" PARENT_SCOPE)
endfunction()

# For each exported area the areas it stands on and its find_dependency() lines, in BAKEWRIGHT_COMPONENTS, and their names, from the
# ground up, in BAKEWRIGHT_COMPONENT_NAMES.
function(bakewright_collect_components)
  set(names "")
  set(text "")
  foreach(area IN LISTS BAKEWRIGHT_AREAS)
    if(NOT TARGET bakewright_${area} OR NOT EXISTS ${CMAKE_SOURCE_DIR}/include/bakewright/${area})
      continue()
    endif()
    list(APPEND names ${area})
    get_property(uses GLOBAL PROPERTY BAKEWRIGHT_USES_${area})
    set(lines "")
    get_target_property(libraries bakewright_${area} LINK_LIBRARIES)
    foreach(library IN LISTS libraries)
      if(library MATCHES "^\\$<BUILD_INTERFACE:|^bakewright|^-|NOTFOUND$")
        continue()
      endif()
      bakewright_dependency_line("${library}" line)
      list(APPEND lines "${line}")
    endforeach()
    list(REMOVE_ITEM lines "")
    list(REMOVE_DUPLICATES lines)
    list(JOIN uses " " uses)
    string(APPEND text "set(bakewright_${area}_uses ${uses})\nmacro(bakewright_find_for_${area})\n")
    foreach(line IN LISTS lines)
      string(APPEND text "  ${line}\n")
    endforeach()
    string(APPEND text "endmacro()\n")
  endforeach()
  list(JOIN names " " names)
  set(BAKEWRIGHT_COMPONENTS "${text}" PARENT_SCOPE)
  set(BAKEWRIGHT_COMPONENT_NAMES "${names}" PARENT_SCOPE)
endfunction()

# The header that shows all of the library.
function(bakewright_write_umbrella)
  set(text "#pragma once\n\n// All public headers of the library. Written by tools/cmake/BakewrightInstall.cmake.\n\n")
  foreach(area base codec thermal cure probe bake plan tune profile builder book record)
    file(GLOB headers CONFIGURE_DEPENDS RELATIVE ${CMAKE_SOURCE_DIR}/include ${CMAKE_SOURCE_DIR}/include/bakewright/${area}/*.hpp)
    foreach(header IN LISTS headers)
      string(APPEND text "#include \"${header}\"\n")
    endforeach()
  endforeach()
  file(CONFIGURE OUTPUT ${CMAKE_BINARY_DIR}/package/bakewright.hpp CONTENT "${text}")
  install(FILES ${CMAKE_BINARY_DIR}/package/bakewright.hpp DESTINATION ${CMAKE_INSTALL_INCLUDEDIR}/bakewright
    COMPONENT development)
endfunction()

bakewright_collect_components()
bakewright_write_umbrella()
configure_package_config_file(${CMAKE_CURRENT_LIST_DIR}/bakewrightConfig.cmake.in
  ${CMAKE_BINARY_DIR}/package/bakewrightConfig.cmake
  INSTALL_DESTINATION ${BAKEWRIGHT_PACKAGE_DIR}
  PATH_VARS CMAKE_INSTALL_DATADIR
  NO_SET_AND_CHECK_MACRO)
# Until version 1 a minor version may change what a program built against us needs.
write_basic_package_version_file(${CMAKE_BINARY_DIR}/package/bakewrightConfigVersion.cmake COMPATIBILITY SameMinorVersion)

install(EXPORT bakewright NAMESPACE bakewright:: FILE bakewrightTargets.cmake DESTINATION ${BAKEWRIGHT_PACKAGE_DIR}
  COMPONENT development)
install(FILES ${CMAKE_BINARY_DIR}/package/bakewrightConfig.cmake ${CMAKE_BINARY_DIR}/package/bakewrightConfigVersion.cmake
  DESTINATION ${BAKEWRIGHT_PACKAGE_DIR} COMPONENT development)
