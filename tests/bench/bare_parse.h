/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_BENCH_BARE_PARSE_H
#define BENCHTRUE_BENCH_BARE_PARSE_H

/* Processor time in ms of libcsv reading a file and throwing its cells away: what any
 * program that reads it with libcsv takes at least.  NAN where it cannot be read or
 * holds nothing. */
double bare_parse(const char *path);

#endif
