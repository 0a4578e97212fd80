/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bare_parse.h"

#include <csv.h>
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <time.h>

static double now(void)
{
    struct timespec t;

    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return 1e3 * (double)t.tv_sec + 1e-6 * (double)t.tv_nsec;
}

static void take_cell(void *cell, size_t length, void *data)
{
    (void)cell;
    *(size_t *)data += length;
}

static void end_row(int separator, void *data)
{
    (void)separator;
    (void)data;
}

double bare_parse(const char *path)
{
    static char block[1 << 16];
    const double start = now();
    FILE *file = fopen(path, "rb");
    struct csv_parser parser;
    size_t n, total = 0;
    bool good = true;

    if (!file)
        return NAN;
    if (csv_init(&parser, 0)) {
        fclose(file);
        return NAN;
    }
    while (good && (n = fread(block, 1, sizeof block, file)) > 0)
        good = csv_parse(&parser, block, n, take_cell, end_row, &total) == n;
    csv_fini(&parser, take_cell, end_row, &total);
    csv_free(&parser);
    fclose(file);
    return good && total > 0 ? now() - start : NAN;
}
