# SPDX-License-Identifier: GPL-3.0-or-later
# Fails when a C file is not laid out as .clang-format says.
file(GLOB_RECURSE files ${ROOT}/src/*.[ch] ${ROOT}/include/*.h ${ROOT}/tests/*.[ch]
     ${ROOT}/docs/*.c)
execute_process(COMMAND ${CLANG_FORMAT} --dry-run -Werror ${files}
                RESULT_VARIABLE result)
if(NOT result EQUAL 0)
    message(FATAL_ERROR "layout differs from .clang-format (clang-format -i mends it)")
endif()
