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
  elseif(library MATCHES "^(fmt|zstd|Eigen3|Ceres|nlohmann_json|tomlplusplus|FastFloat|Threads)::.+$")
    set(line "find_dependency(${CMAKE_MATCH_1})")
  elseif(library MATCHES "^Ceres")
    set(line "find_dependency(Ceres)")
  elseif(library MATCHES "::")
    message(FATAL_ERROR "An installed library links ${library}: say in BakewrightInstall.cmake how a user's build finds it")
  endif()
  set(${result} "${line}" PARENT_SCOPE)
endfunction()

# The lines for everything the exported areas link to, each once, in BAKEWRIGHT_DEPENDENCIES.
function(bakewright_collect_dependencies)
  set(lines "")
  foreach(area IN LISTS BAKEWRIGHT_AREAS)
    if(NOT TARGET bakewright_${area})
      continue()
    endif()
    get_target_property(libraries bakewright_${area} LINK_LIBRARIES)
    foreach(library IN LISTS libraries)
      if(library MATCHES "^\\$<BUILD_INTERFACE:|^bakewright|^-|NOTFOUND$")
        continue()
      endif()
      bakewright_dependency_line("${library}" line)
      list(APPEND lines "${line}")
    endforeach()
  endforeach()
  list(REMOVE_ITEM lines "")
  list(REMOVE_DUPLICATES lines)
  list(SORT lines)
  list(JOIN lines "\n" joined)
  set(BAKEWRIGHT_DEPENDENCIES "${joined}" PARENT_SCOPE)
endfunction()

bakewright_collect_dependencies()
configure_package_config_file(${CMAKE_CURRENT_LIST_DIR}/bakewrightConfig.cmake.in
  ${CMAKE_BINARY_DIR}/package/bakewrightConfig.cmake
  INSTALL_DESTINATION ${BAKEWRIGHT_PACKAGE_DIR}
  PATH_VARS CMAKE_INSTALL_DATADIR
  NO_SET_AND_CHECK_MACRO)
# Until version 1 a minor version may change what a program built against us needs.
write_basic_package_version_file(${CMAKE_BINARY_DIR}/package/bakewrightConfigVersion.cmake COMPATIBILITY SameMinorVersion)

install(EXPORT bakewright NAMESPACE bakewright:: FILE bakewrightTargets.cmake DESTINATION ${BAKEWRIGHT_PACKAGE_DIR})
install(FILES ${CMAKE_BINARY_DIR}/package/bakewrightConfig.cmake ${CMAKE_BINARY_DIR}/package/bakewrightConfigVersion.cmake
  DESTINATION ${BAKEWRIGHT_PACKAGE_DIR})
if(EXISTS ${CMAKE_SOURCE_DIR}/profiles)
  install(DIRECTORY ${CMAKE_SOURCE_DIR}/profiles DESTINATION ${CMAKE_INSTALL_DATADIR}/bakewright)
endif()
