/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_FUZZ_H
#define BENCHTRUE_FUZZ_H

#include <stddef.h>
#include <stdint.h>

/*
 * What each fuzz target defines: try the bytes data[size], abort where a result
 * is wrong, return 0.  libFuzzer calls it with bytes of its own; fuzz_main.c
 * with those of the files that it is given.
 */
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

#endif
