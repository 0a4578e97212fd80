# SPDX-License-Identifier: GPL-3.0-or-later
# Compares the sources listed in CMakeLists.txt with those in the tree.
file(GLOB_RECURSE tree RELATIVE ${ROOT} ${ROOT}/src/*.c)
string(REPLACE "," ";" listed "${LISTED}")
foreach(file ${tree})
    if(NOT file IN_LIST listed)
        message(SEND_ERROR "${file} is in the tree and not in CMakeLists.txt")
    endif()
endforeach()
foreach(file ${listed})
    if(NOT file IN_LIST tree)
        message(SEND_ERROR "${file} is in CMakeLists.txt and not in the tree")
    endif()
endforeach()
