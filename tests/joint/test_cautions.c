/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/joint/cautions.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "support/reference.h"

/* The caution whose text holds the words. */
static const struct bt_caution *with(const char *words)
{
    for (size_t i = 0; i < bt_caution_count(); i++)
        if (strstr(bt_caution_at(i)->text, words))
            return bt_caution_at(i);
    cr_assert_fail("no caution has '%s'", words);
    return NULL;
}

Test(cautions, every_row_of_the_table_is_there_in_its_order)
{
    static const char *const verbs[] = {"fence", "edges", "glueup", "stock", "decide"};
    struct reference *t = reference_load("cautions.csv");

    cr_assert_eq(reference_rows(t), bt_caution_count());
    for (size_t i = 0; i < bt_caution_count(); i++) {
        const struct bt_caution *c = bt_caution_at(i);

        cr_expect_str_eq(c->text, reference_text(t, i, "text"));
        cr_expect_not_null(strstr(c->source, reference_text(t, i, "status")));
        cr_expect_not_null(strstr(c->source, reference_text(t, i, "source")));
        for (unsigned k = 0; k < 5; k++)
            cr_expect_eq((c->when >> k & 1) != 0,
                         strstr(reference_text(t, i, "when"), verbs[k]) != NULL,
                         "row %zu, %s", i, verbs[k]);
    }
    cr_expect_null(bt_caution_at(bt_caution_count()));
    reference_free(t);
}

Test(cautions, every_kind_of_work_ends_with_the_manual_and_the_local_codes)
{
    for (unsigned bit = 1; bit < BT_CAUTION_ALL; bit <<= 1) {
        const struct bt_caution *last = NULL;

        for (size_t i = 0; i < bt_caution_count(); i++)
            if (bt_caution_at(i)->when & bit)
                last = bt_caution_at(i);
        cr_assert_not_null(last, "bit %u", bit);
        cr_expect_not_null(strstr(last->text, "manual of the machine"), "bit %u", bit);
        cr_expect_not_null(strstr(last->text, "local codes"), "bit %u", bit);
    }
}

/* 1 in is 25.4 mm. */
Test(cautions, sizes_are_those_of_the_table_of_sources)
{
    static const struct {
        const char *item, *words;
        int which;
    } rows[] = {
        {"minimum stock length", "Do not joint boards shorter", 0},
        {"push stick when narrower than", "Use push sticks", 1},
    };
    struct reference *t = reference_load("stock.csv");
    size_t thin = reference_find(t, "item", "minimum thickness for face planing", 0);

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct bt_caution *c = with(rows[i].words);
        double want =
            25.4 *
            reference_number(t, reference_find(t, "item", rows[i].item, 0), "value");

        cr_expect(fabs((rows[i].which ? c->least_width : c->least_length) - want) <=
                      1e-9,
                  "%s", rows[i].item);
        cr_expect(isnan(rows[i].which ? c->least_length : c->least_width), "%s",
                  rows[i].item);
        cr_expect(isnan(c->least_thickness), "%s", rows[i].item);
    }
    cr_expect_str_eq(reference_text(t, thin, "value"), "1/4 (one list 5/8)");
    cr_expect(fabs(with("Do not face-plane")->least_thickness - 25.4 * 5 / 8) <= 1e-9);
    reference_free(t);
}

Test(cautions, a_board_is_under_a_caution_when_one_of_its_sizes_is_less)
{
    const struct bt_caution *is_short = with("Do not joint boards shorter"),
                            *narrow = with("Use push sticks");

    cr_expect(bt_caution_applies(is_short, 300, 150, 25));
    cr_expect_not(bt_caution_applies(is_short, 304.8, 10, 1));
    cr_expect_not(bt_caution_applies(is_short, 1200, 10, 1));
    cr_expect(bt_caution_applies(narrow, 1200, 76, 25));
    cr_expect_not(bt_caution_applies(narrow, 100, 76.3, 1));
    cr_expect(bt_caution_applies(with("Stock thinner"), 1200, 90, 6));
    cr_expect_not(bt_caution_applies(with("Stock thinner"), 1200, 90, 6.4));
}

Test(cautions, a_size_that_is_not_known_puts_no_board_under_one)
{
    for (size_t i = 0; i < bt_caution_count(); i++)
        cr_expect_not(bt_caution_applies(bt_caution_at(i), NAN, NAN, NAN), "%zu", i);
    cr_expect(bt_caution_applies(with("Use push sticks"), NAN, 20, NAN));
}

Test(cautions, those_without_a_size_are_for_every_board_and_say_so)
{
    size_t sized = 0;

    for (size_t i = 0; i < bt_caution_count(); i++) {
        const struct bt_caution *c = bt_caution_at(i);

        sized += bt_caution_has_size(c) ? 1 : 0;
        /* no size is 0, so only those that have none leave out the smallest board */
        cr_expect_eq(bt_caution_has_size(c), bt_caution_applies(c, 1e-9, 1e-9, 1e-9),
                     "%s", c->text);
    }
    cr_expect_geq(sized, 5);
    cr_expect_lt(sized, bt_caution_count());
}

Test(cautions, edges_have_those_for_short_thin_and_narrow_stock_hands_guards_and_cuts)
{
    static const char *const words[] = {
        "shorter than 12 in", "narrower than 3 in", "thinner than 1/4 in",
        "Keep hands",         "Keep the guard",     "Take light cuts",
        "with the grain",     "dull knives",        "Wood dust"};

    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        cr_expect(with(words[i])->when & BT_CAUTION_EDGES, "%s", words[i]);
}
