/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_BENCH_COVERAGE_COUNT_H
#define BENCHTRUE_BENCH_COVERAGE_COUNT_H

#include "coverage_schemes.h"

/* Figures in the order of enum bt_figure, then gaps along and across. */
enum { COVER_ALONG = 6, COVER_ACROSS, COVER_FIGURES };

struct cover {
    size_t printed, held;
    double length;                  /* sum of the lengths of the 95 % intervals, mm */
    size_t beyond, within;          /* panels beyond the fixed limit; of them judged
                                       `within` */
    size_t just_beyond, just_wrong; /* the same with the limit a hair below the truth */
};

struct tally {
    size_t panels;
    struct cover figure[COVER_FIGURES];
    size_t unseen;   /* numbers printed for what the readings cannot see */
    size_t withheld; /* figures not printed although seen */
    size_t failed;   /* evaluations that returned an error, or left readings out */
};

extern const double cover_limit[COVER_FIGURES]; /* mm */

/* Which panels of a scheme are read: first, first + step ... below panels; the same
 * ones whatever the step. */
struct cover_request {
    size_t first, step, panels;
    size_t draws; /* behind each interval */
    double scale; /* of every stated u; 1 but for a test of the test */
};

/* Evaluate them and add to *tally.  Anything that fails in the simulation aborts. */
void cover_run(const struct scheme *scheme, const struct cover_request *request,
               struct tally *tally);

void tally_add(struct tally *to, const struct tally *from);

/* Does the scheme see what it claims, by its equations? */
bool scheme_claims_hold(const struct scheme *scheme);

/* Three standard errors of a share p of n. */
double cover_tolerance(double p, size_t n);

/* Is the share of held figures as it should be? */
bool cover_good(const struct scheme *scheme, int figure, const struct cover *cover);

/* Is false `within` under the risk, by both limits? */
bool cover_risk_good(const struct cover *cover);

#endif
