/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "benchtrue/report/text.h"
#include "support/builder.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(text_doubt, .init = quiet_gsl);

static double hollow(double x, double y)
{
    const double v = y / 300 - 1;

    return 1 + 1e-4 * x + 0.95 * v * v;
}

/* A panel read on a grid of lines with one straightedge, cup 0.95 mm hollow. */
struct run {
    struct builder b;
    struct bt_job job;
    struct bt_set set;
    struct bt_instrument edge;
    struct bt_source source[120];
    char *file[1], name[16], set_name[8], species[8], empty[1], edge_name[16];
};

static struct bt_point at(int i, int j)
{
    return (struct bt_point){200.0 * i, 150.0 * j};
}

static void make(struct run *r)
{
    memset(r, 0, sizeof *r);
    builder_init(&r->b, 0.02, hollow);
    for (int j = 0; j < 5; j++)
        builder_run(&r->b, at(0, j), at(6, j), 7);
    for (int i = 0; i < 7; i++)
        builder_run(&r->b, at(i, 0), at(i, 4), 5);
    for (size_t g = 0; g < r->b.r.ngroup; g++) {
        r->b.r.group[g].instrument = 0;
        r->b.r.group[g].straightness = 0.3;
    }
    strcpy(r->name, "gaps.csv");
    strcpy(r->set_name, "first");
    strcpy(r->species, "ash");
    strcpy(r->edge_name, "long edge");
    r->file[0] = r->name;
    r->edge.name = r->edge_name;
    r->job.instrument = &r->edge;
    r->job.ninstrument = 1;
    r->job.title = r->empty;
    r->job.panel = (struct bt_panel){1200, 600, 25, r->species};
    r->job.limits = bt_limits_none();
    r->job.limits.limit[BT_FIGURE_CUP] = 1;
    r->set.name = r->set_name;
    r->set.line = 9;
    r->set.supports = r->empty;
    r->set.lying.lying = BT_LYING_FLAT_BENCH;
    r->set.clamps = -1;
    r->set.file = r->file;
    r->set.nfile = 1;
    r->set.source = r->source;
    for (size_t i = 0; i < 120; i++)
        r->source[i].line = i + 2;
}

static char *text_of(struct run *r, bool details, struct bt_buffer *out)
{
    const struct bt_text_options options = {.system = BT_SYSTEM_MM, .details = details};
    struct bt_set_result result;
    struct bt_error err = {0};

    memset(out, 0, sizeof *out);
    r->set.readings = r->b.r;
    r->set.kinds[BT_READ_GAP] = r->b.r.nobs;
    cr_assert_eq(bt_set_evaluate(&r->job, &r->set, NULL, &result, &err), BT_OK, "%s",
                 err.message);
    cr_assert_eq(bt_text_flatness(&result, &options, out), BT_OK);
    bt_set_result_clear(&result);
    return out->text;
}

static void expect(struct run *r, bool details, const char *words, bool there)
{
    struct bt_buffer out;
    const char *text = text_of(r, details, &out);

    cr_expect_eq(strstr(text, words) != NULL, there, "%s: %s", words, text);
    bt_buffer_clear(&out);
}

Test(text_doubt, names_the_straightedge_where_its_straightness_leaves_most_open)
{
    struct run r;

    make(&r);
    expect(&r, false,
           "\nDoubt:     in cup from straightness of long edge; a strike-turn-strike "
           "line test of the edge (own_hollow) would more than halve it\n",
           true);
    r.job.limits.limit[BT_FIGURE_CUP] = 3;
    expect(&r, false, "\nDoubt: ", false); /* within */
    expect(&r, true, "\nDoubt:     in cup from straightness of long edge", true);
    builder_clear(&r.b);
}

Test(text_doubt, says_what_finer_leaves_would_do_where_the_readings_leave_it_open)
{
    struct run r;

    make(&r);
    for (size_t g = 0; g < r.b.r.ngroup; g++)
        r.b.r.group[g].straightness = NAN;
    for (size_t i = 0; i < r.b.r.nobs; i++)
        r.b.r.obs[i].u = 0.3;
    expect(&r, false,
           "\nDoubt:     in cup from feelers; leaves of half the step would halve it\n",
           true);
    builder_clear(&r.b);
}

Test(text_doubt, shows_what_the_hollow_of_the_edge_changed)
{
    struct run r;

    make(&r);
    for (size_t g = 0; g < r.b.r.ngroup; g++) {
        r.b.r.group[g].own_hollow = 0.2;
        r.b.r.group[g].own_hollow_u = 0.01;
    }
    expect(
        &r, false,
        "\nCorrected: own hollow of long edge: 0.200 mm taken off cup, 0.200 mm taken "
        "off bow\n",
        true);
    builder_clear(&r.b);
}

Test(text_doubt,
     says_that_supports_are_not_stated_next_to_the_verdict_where_that_could_turn_it)
{
    struct run r;
    struct bt_buffer out;
    const char *text, *found;

    make(&r);
    r.job.limits.limit[BT_FIGURE_BOW] = 1.5;
    r.set.lying.lying = BT_LYING_UNKNOWN;
    expect(
        &r, false,
        "\nWeight:    how it lay is not stated: on its ends alone it would sag 0.296 "
        "mm by its own weight: write supports\n",
        true);
    r.job.limits.limit[BT_FIGURE_BOW] = 0.25; /* which 0.296 mm could pass */
    text = text_of(&r, false, &out);
    found = strstr(text, ". How it lay is not stated: on its ends alone it would sag ");
    cr_expect_not_null(found, "%s", text);
    cr_expect(found && found < strchr(text, '\n'), "in the first line");
    bt_buffer_clear(&out);
    r.job.panel.thickness = NAN;
    expect(&r, false,
           "\nWeight:    how it lay is not stated, and how far it would sag by its own "
           "weight is not known: write supports, and species and thickness of the "
           "panel\n",
           true);
    r.set.lying = (struct bt_supports){BT_LYING_ACROSS, 2, {0, 1200}};
    expect(&r, false, "Its own weight is not taken off", false);
    expect(&r, false,
           "\nCorrected: own weight: not known, write thickness in [panel]\n", true);
    builder_clear(&r.b);
}

Test(text_doubt, shows_the_figures_without_the_suspects)
{
    struct run r;

    make(&r);
    r.b.r.obs[9].value += 0.9;
    expect(&r, false, "  - Without ", true);
    expect(&r, false, "cup 0.95 mm hollow", true);
    builder_clear(&r.b);
}
