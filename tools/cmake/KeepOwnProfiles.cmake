# SPDX-License-Identifier: Apache-2.0
# Run by the installation. Profiles that come with the program were once installed into share/bakewright/profiles, which under
# ~/.local is the very folder where a shop kept its own: a new version overwrote them. They now have a folder to themselves, and
# nothing is installed into the old one any more. From the old one this takes away what an earlier installation put there and
# nobody changed since, by its SHA-256; what is left is the shop's own, and the program goes on reading it.
#
#   OLD_FOLDER    share/bakewright/profiles under the prefix
#   ONCE_SHIPPED  list "SHA-256  PATH" of every profile that was ever installed there

cmake_minimum_required(VERSION 3.25)

if(NOT IS_DIRECTORY "${OLD_FOLDER}")
  return()
endif()
file(STRINGS "${ONCE_SHIPPED}" once_shipped)
set(own 0)
file(GLOB_RECURSE files RELATIVE "${OLD_FOLDER}" "${OLD_FOLDER}/*")
foreach(file IN LISTS files)
  if(IS_SYMLINK "${OLD_FOLDER}/${file}")
    math(EXPR own "${own} + 1")
    continue()
  endif()
  file(SHA256 "${OLD_FOLDER}/${file}" hash)
  if("${hash}  ${file}" IN_LIST once_shipped)
    file(REMOVE "${OLD_FOLDER}/${file}")
  else()
    math(EXPR own "${own} + 1")
  endif()
endforeach()
if(own GREATER 0)
  message(STATUS "Kept: ${own} profiles of the shop's own in ${OLD_FOLDER}")
endif()
