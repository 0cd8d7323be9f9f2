# SPDX-License-Identifier: Apache-2.0
# What tools/package makes: the program, the shared library and the development files, as Debian packages each. Included last.

find_program(BAKEWRIGHT_GZIP gzip REQUIRED)

# The same library as the static ones, for who would rather link one thing at run time. Until version 1 each minor version is another
# library to the linker: docs/changelog.md says what it may change.
file(CONFIGURE OUTPUT ${CMAKE_BINARY_DIR}/package/library.cpp CONTENT "// Written by tools/cmake/BakewrightPackage.cmake; holds nothing.\n")
add_library(bakewright_library SHARED ${CMAKE_BINARY_DIR}/package/library.cpp)
foreach(area IN LISTS BAKEWRIGHT_AREAS)
  if(NOT EXISTS ${CMAKE_SOURCE_DIR}/include/bakewright/${area})
    continue()
  endif()
  target_sources(bakewright_library PRIVATE $<TARGET_OBJECTS:bakewright_${area}>)
  target_link_libraries(bakewright_library PRIVATE bakewright_${area}) # for what that links to: its own objects are there already
endforeach()
set_target_properties(bakewright_library PROPERTIES OUTPUT_NAME bakewright VERSION ${PROJECT_VERSION}
  SOVERSION ${PROJECT_VERSION_MAJOR}.${PROJECT_VERSION_MINOR})
install(TARGETS bakewright_library LIBRARY DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT library
  NAMELINK_COMPONENT development)
file(CONFIGURE OUTPUT ${CMAKE_BINARY_DIR}/package/bakewright.pc CONTENT "prefix=${CMAKE_INSTALL_PREFIX}
libdir=\${prefix}/${CMAKE_INSTALL_LIBDIR}
includedir=\${prefix}/${CMAKE_INSTALL_INCLUDEDIR}

Name: bakewright
Description: ${PROJECT_DESCRIPTION}
Version: ${PROJECT_VERSION}
Libs: -L\${libdir} -lbakewright
Cflags: -I\${includedir}
")
install(FILES ${CMAKE_BINARY_DIR}/package/bakewright.pc DESTINATION ${CMAKE_INSTALL_LIBDIR}/pkgconfig COMPONENT development)

# What every Debian package holds of itself: its terms and its changes; a manual page is compressed. All without the time of the build.
set(for_people ${CMAKE_BINARY_DIR}/package)
file(WRITE ${for_people}/changelog.Debian "bakewright (${PROJECT_VERSION}) unstable; urgency=medium

  * What changed stands in changelog.gz.

 -- The bakewright maintainers <maintainers@bakewright.invalid>  ${BAKEWRIGHT_PACKAGE_DATE}
")
configure_file(${CMAKE_SOURCE_DIR}/docs/changelog.md ${for_people}/changelog COPYONLY)
configure_file(${CMAKE_SOURCE_DIR}/docs/licence/debian_copyright ${for_people}/copyright COPYONLY)
# A native package has one list of changes; ours is in words, and stands beside Debian's.
add_custom_target(bakewright_for_people ALL
  COMMAND ${BAKEWRIGHT_GZIP} --best --no-name --keep --force changelog.Debian changelog
  COMMAND ${BAKEWRIGHT_GZIP} --best --no-name --stdout ${CMAKE_BINARY_DIR}/src/cli/written/bakewright.1 > bakewright.1.gz
  DEPENDS bakewright WORKING_DIRECTORY ${for_people} VERBATIM)
install(FILES ${for_people}/bakewright.1.gz DESTINATION ${CMAKE_INSTALL_MANDIR}/man1 COMPONENT program)
set(package_of_program bakewright)
set(package_of_library libbakewright${PROJECT_VERSION_MAJOR}.${PROJECT_VERSION_MINOR})
set(package_of_development libbakewright-dev)
set(package_of_python python3-bakewright)
foreach(component program library development python)
  install(FILES ${for_people}/copyright ${for_people}/changelog.gz ${for_people}/changelog.Debian.gz
    DESTINATION ${CMAKE_INSTALL_DATAROOTDIR}/doc/${package_of_${component}} COMPONENT ${component})
endforeach()

# The client for Python, with the types of its answers.
find_package(Python3 REQUIRED COMPONENTS Interpreter)
add_custom_command(OUTPUT ${for_people}/bakewright_types.py
  COMMAND ${Python3_EXECUTABLE} ${CMAKE_SOURCE_DIR}/src/python/make_types.py ${CMAKE_SOURCE_DIR}/docs/json.schema.json
    > ${for_people}/bakewright_types.py
  DEPENDS ${CMAKE_SOURCE_DIR}/src/python/make_types.py ${CMAKE_SOURCE_DIR}/docs/json.schema.json VERBATIM)
add_custom_target(bakewright_python ALL DEPENDS ${for_people}/bakewright_types.py)
install(FILES ${CMAKE_SOURCE_DIR}/src/python/bakewright.py ${for_people}/bakewright_types.py DESTINATION lib/python3/dist-packages
  COMPONENT python)

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME bakewright)
set(CPACK_PACKAGE_CONTACT "The bakewright maintainers <maintainers@bakewright.invalid>")
set(CPACK_PACKAGE_VERSION ${PROJECT_VERSION})
set(CPACK_COMPONENTS_ALL program library development python)
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "baking of large painted shells: plan, predict, judge")
set(CPACK_COMPONENTS_GROUPING ONE_PER_GROUP)
set(CPACK_STRIP_FILES ON)
set(CPACK_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ GROUP_EXECUTE WORLD_READ WORLD_EXECUTE)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_COMPRESSION_TYPE xz)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_GENERATE_SHLIBS ON)
set(CPACK_DEBIAN_PACKAGE_GENERATE_SHLIBS_POLICY "=")
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS_PRIVATE_DIRS ${CMAKE_BINARY_DIR})
set(CPACK_DEBIAN_PACKAGE_CONTROL_STRICT_PERMISSION ON)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_NAME ${package_of_program})
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SECTION science)
set(CPACK_COMPONENT_PROGRAM_DESCRIPTION "For the painter of one-off vehicles: a bake cycle is planned for a shell whose
thin skin, frame and laminate warm at their own pace, each zone's temperature
is predicted and its cure judged, and logs of thermocouples are kept beside
predictions in one book. It plans and records; it never controls a booth.")
set(CPACK_DEBIAN_LIBRARY_PACKAGE_NAME ${package_of_library})
set(CPACK_DEBIAN_LIBRARY_PACKAGE_SECTION libs)
file(WRITE ${for_people}/triggers "activate-noawait ldconfig\n")
set(CPACK_DEBIAN_LIBRARY_PACKAGE_CONTROL_EXTRA ${for_people}/triggers)
set(CPACK_COMPONENT_LIBRARY_DESCRIPTION "The engine of bakewright as a shared library: networks of lumped bodies and
their solution, cure schedules, bake cycles, probe logs and the book.")
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_NAME ${package_of_development})
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SHLIBDEPS OFF)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_DEPENDS "${package_of_library} (= ${PROJECT_VERSION}), libfmt-dev, libboost-dev, libeigen3-dev, libsqlite3-dev, libzstd-dev, libssl-dev, libtomlplusplus-dev, libmodbus-dev, libmosquitto-dev")
set(CPACK_COMPONENT_DEVELOPMENT_DESCRIPTION "Headers, the static libraries by part, the CMake package with its components
and the pkg-config file of bakewright's library.")
set(CPACK_DEBIAN_PYTHON_PACKAGE_NAME ${package_of_python})
set(CPACK_DEBIAN_PYTHON_PACKAGE_SECTION python)
set(CPACK_DEBIAN_PYTHON_PACKAGE_ARCHITECTURE all)
set(CPACK_DEBIAN_PYTHON_PACKAGE_SHLIBDEPS OFF)
set(CPACK_DEBIAN_PYTHON_PACKAGE_DEPENDS "python3 (>= 3.11), ${package_of_program} (>= ${PROJECT_VERSION})")
set(CPACK_COMPONENT_PYTHON_DESCRIPTION "Asks bakewright's commands from Python and gives their answers as dictionaries,
with the shapes of the answers as types; studies of many bakes as they come.")
include(CPack)
