/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * How often the figures and their intervals hold what is true: simulated panels, read
 * in every way of coverage_schemes.c, against the true heights at the places read.
 *
 *     bench_coverage [PANELS]    2000 without
 *
 * Invented panels: one ash table of five boards with bow, cup, twist, kinks at its
 * joints, ripple and roughness, one in ten perfectly flat.  The seed is fixed; each
 * panel has a stream of its own, so that threads change nothing.  400 draws behind each
 * interval, not the default of 2000, for the sake of time.
 *
 * What should be: cup, bow and twist held in 95 % of all panels, to three standard
 * errors of the run (where errors lie within limits instead of being normal: no less);
 * range, zone and gaps in at least 95 %; `within` of panels over the limit in no more
 * than the risk that is stated, 5 %, whether the limit is one for all or a hair below
 * each panel's own figure, which no limit can be worse than; no number for what the
 * readings cannot see.  A cell that misses is marked, and gives exit status 1 but for
 * cup, bow and twist of a misuse that the program points out.
 */
#include <gsl/gsl_errno.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "coverage_count.h"
#include "coverage_truth.h"

enum { THREADS = 2, DRAWS = 400 };

struct share {
    const struct scheme *scheme;
    struct cover_request request;
    struct tally tally;
};

static void *work(void *data)
{
    struct share *share = data;

    cover_run(share->scheme, &share->request, &share->tally);
    return NULL;
}

static struct tally run(const struct scheme *scheme, size_t panels)
{
    struct share share[THREADS];
    pthread_t thread[THREADS];
    bool started[THREADS];
    struct tally sum = {0};

    for (size_t k = 0; k < THREADS; k++) {
        share[k] =
            (struct share){.scheme = scheme, .request = {k, THREADS, panels, DRAWS, 1}};
        started[k] = pthread_create(&thread[k], NULL, work, &share[k]) == 0;
        if (!started[k])
            work(&share[k]);
    }
    for (size_t k = 0; k < THREADS; k++) {
        if (started[k])
            pthread_join(thread[k], NULL);
        tally_add(&sum, &share[k].tally);
    }
    return sum;
}

static const char *const figure_name[COVER_FIGURES] = {
    "cup", "bow", "twist", "range", "zone", "any gap", "gap along", "gap across"};

/* misuse: what makes it miss, NULL where it should not. */
static const char *mark(const char *misuse, bool good, bool *missed)
{
    *missed = *missed || (!good && !misuse);
    return good ? "       " : " MISSED";
}

static void head(const char *title, int from, int to)
{
    printf("\n%s\n%-32s", title, "");
    for (int k = from; k < to; k++)
        printf("  %-18s", figure_name[k]);
    printf("\n");
}

static bool print_covers(const struct tally tally[], int from, int to)
{
    bool missed = false;

    for (size_t s = 0; s < scheme_count; s++) {
        printf("%-32s", schemes[s].name);
        for (int k = from; k < to; k++) {
            const struct cover *c = &tally[s].figure[k];

            if (!c->printed) {
                printf("  %-18s", "not seen");
                continue;
            }
            printf("  %5.1f %5.3f%s", 100 * (double)c->held / (double)c->printed,
                   c->length / (double)c->printed,
                   mark(k < TRUE_LINEAR ? schemes[s].misuse : NULL,
                        cover_good(&schemes[s], k, c), &missed));
        }
        printf("\n");
    }
    return missed;
}

static double percent(size_t some, size_t all)
{
    return all ? 100 * (double)some / (double)all : 0;
}

static bool print_risks(const struct tally tally[])
{
    bool missed = false;

    for (size_t s = 0; s < scheme_count; s++) {
        printf("%-32s", schemes[s].name);
        for (int k = 0; k < COVER_ALONG; k++) {
            const struct cover *c = &tally[s].figure[k];

            if (!c->printed) {
                printf("  %-18s", "not seen");
                continue;
            }
            printf("  %5.2f %5.2f%s", percent(c->within, c->beyond),
                   percent(c->just_wrong, c->just_beyond),
                   mark(k < TRUE_LINEAR ? schemes[s].misuse : NULL, cover_risk_good(c),
                        &missed));
        }
        printf("\n");
    }
    return missed;
}

static bool print_unseen(const struct tally tally[])
{
    bool missed = false;

    printf("\nNumbers printed for what the readings cannot see; figures seen but not "
           "printed; panels not evaluated\n");
    for (size_t s = 0; s < scheme_count; s++) {
        const bool claims = scheme_claims_hold(&schemes[s]);

        printf(
            "%-32s  %zu %zu %zu%s%s\n", schemes[s].name, tally[s].unseen,
            tally[s].withheld, tally[s].failed,
            claims ? "" : "  sees other than claimed",
            mark(NULL,
                 claims && !tally[s].unseen && !tally[s].withheld && !tally[s].failed,
                 &missed));
    }
    return missed;
}

int main(int argc, char *argv[])
{
    const size_t panels = argc > 1 ? (size_t)strtoul(argv[1], NULL, 10) : 2000;
    struct tally *tally = calloc(scheme_count, sizeof *tally);
    bool missed;

    gsl_set_error_handler_off();
    if (!tally || !panels)
        return EXIT_FAILURE;
    for (size_t s = 0; s < scheme_count; s++)
        tally[s] = run(&schemes[s], panels);
    printf("%zu schemes, %zu panels each, %d draws an interval; 95 %% of %zu stands to "
           "%.1f\n",
           scheme_count, panels, DRAWS, panels, 100 * cover_tolerance(0.95, panels));
    head("Held in 95 % of panels: %, mean length of the 95 % interval, mm", 0, 3);
    missed = print_covers(tally, 0, 3);
    head("Held in at least 95 %: %, mean length, mm", 3, COVER_FIGURES);
    missed = print_covers(tally, 3, COVER_FIGURES) || missed;
    head(
        "Panels over the limit called `within`, %, stated risk 5: one limit for all, a "
        "limit just below each",
        0, COVER_ALONG);
    missed = print_risks(tally) || missed;
    missed = print_unseen(tally) || missed;
    printf("\n");
    for (size_t s = 0; s < scheme_count; s++)
        if (schemes[s].misuse)
            printf("%s: a misuse; %s\n", schemes[s].name, schemes[s].misuse);
    if (missed)
        printf("something else is MISSED\n");
    free(tally);
    return missed ? EXIT_FAILURE : EXIT_SUCCESS;
}
