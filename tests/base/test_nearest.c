/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/base/nearest.h"

#include <criterion/criterion.h>
#include <string.h>

static const char *const keys[] = {"length", "width", "thickness", "species", "face"};

static const char *nearest(const char *word)
{
    return bt_nearest(word, strlen(word), sizeof keys / sizeof keys[0], keys);
}

static int is(const char *got, const char *want)
{
    return got && want ? strcmp(got, want) == 0 : got == want;
}

Test(nearest, finds_the_word_behind_one_slip_of_each_kind)
{
    static const struct {
        const char *slip, *typed, *meant;
    } rows[] = {
        {"left out", "lenth", "length"},          {"inserted", "widdth", "width"},
        {"replaced", "speciez", "species"},       {"swapped", "fcae", "face"},
        {"other case", "THICKNESS", "thickness"}, {"none", "width", "width"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        cr_expect(is(nearest(rows[i].typed), rows[i].meant), "%s", rows[i].slip);
}

Test(nearest, counts_a_swap_of_neighbours_as_one_slip)
{
    static const char *const two[] = {"xbxx", "ba"};

    /* two letters allow one slip: a swap, not two replacements */
    cr_expect(is(bt_nearest("ab", 2, 2, two), "ba"));
}

Test(nearest, changes_no_stretch_twice)
{
    static const char *const one[] = {"abc"};

    /* "ca" is 2 from "abc" by unrestricted edits, 3 by optimal string alignment,
     * and two letters allow 1; "cab" is 2 by both, and three letters allow 2 */
    cr_expect(is(bt_nearest("ca", 2, 1, one), NULL));
    cr_expect(is(bt_nearest("cab", 3, 1, one), "abc"));
}

Test(nearest, offers_nothing_beyond_half_the_letters)
{
    cr_expect(is(nearest("facxyz"), "face"), "3 slips in 6 letters");
    cr_expect(is(nearest("gacxyz"), NULL), "4 slips in 6 letters");
    cr_expect(is(nearest("zzzz"), NULL));
    cr_expect(is(nearest(""), NULL));
}

Test(nearest, takes_the_first_of_equally_near_ones)
{
    static const char *const both[] = {"bar", "bat"};

    cr_expect(is(bt_nearest("bas", 3, 2, both), "bar"));
}

Test(nearest, has_no_answer_without_candidates_or_for_long_words)
{
    char word[65];
    const char *self[] = {word};

    memset(word, 'a', sizeof word);
    word[64] = '\0';
    cr_expect(is(bt_nearest("a", 1, 0, NULL), NULL));
    cr_expect(is(bt_nearest(word, 64, 1, self), NULL), "64 bytes");
    word[63] = '\0';
    cr_expect(is(bt_nearest(word, 63, 1, self), word), "63 bytes");
}

Test(nearest, counts_a_letter_of_two_bytes_once)
{
    static const char *const one[] = {"h\xC3\xB6he"};

    /* four letters allow two slips: one replaced by another of two bytes each,
     * and one left out */
    cr_expect(is(bt_nearest("h\xC3\xA4h", 4, 1, one), one[0]));
}
