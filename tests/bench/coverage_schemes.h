/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_BENCH_COVERAGE_SCHEMES_H
#define BENCHTRUE_BENCH_COVERAGE_SCHEMES_H

#include "support/builder.h"
#include "surface/random.h"

/* Ways of reading a panel, and readings simulated in them. */

/* What errs beside the noise of each reading. */
enum scheme_error {
    ERR_NONE,
    ERR_STATED,  /* one edge, its own hollow anywhere within its stated straightness */
    ERR_TESTED,  /* one edge with a line test and an odd shape, laid both ways round */
    ERR_WEIGHT,  /* own weight, known to a tenth */
    ERR_ROUNDED, /* noise, then rounded to a step; u of both */
    ERR_BLOCKS,  /* edge on blocks, gaps between two feelers */
    ERR_TOUCHES, /* edge rests on the panel: `0` where it touches, else feelers */
    ERR_LEAST    /* the same, and where it touches `<` the thinnest feeler */
};

/* What is claimed to be seen; compared with the equations themselves. */
enum { SEES_CUP = 1, SEES_BOW = 2, SEES_TWIST = 4, SEES_HEIGHTS = 8, SEES_KINKS = 16 };
enum { SEES_FORM = SEES_CUP | SEES_BOW | SEES_TWIST };

struct scheme {
    const char *name;
    void (*lay)(struct builder *b);
    double u; /* of one reading: mm, slopes mm/mm */
    enum scheme_error error;
    unsigned sees;
    bool at_least;      /* errors within limits are no normal ones: cover may be above
                           95 % */
    bool smooth;        /* panels of six terms alone */
    bool direct;        /* twist is fitted straight to the readings, which is another
                           measure where the panel is not smooth */
    const char *misuse; /* NULL, or what is wrong with reading so, which the program
                           points out: that cup, bow and twist miss is shown and
                           marked, but no surprise */
};

extern const struct scheme schemes[];
extern const size_t scheme_count;

/* Lay the scheme out; to be cleared with builder_clear. */
void scheme_lay(const struct scheme *scheme, struct builder *b);

/* Readings of a panel with true heights h[b->r.npoint]. */
void scheme_read(const struct scheme *scheme, struct builder *b, const double h[],
                 struct bt_random *random);

/* What the panel's own weight gives a place by the book, mm, and its relative u;
 * nothing for a scheme without. */
double scheme_sag(const struct scheme *scheme, const struct bt_point *p);
double scheme_sag_u(const struct scheme *scheme);

#endif
