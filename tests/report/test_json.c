/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <cjson/cJSON.h>
#include <float.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "benchtrue/report/json.h"
#include "report/fixture.h"
#include "report/json_value.h"

Test(json, writes_the_shortest_number_that_reads_back)
{
    static const struct {
        double value;
        const char *text;
    } rows[] = {
        {0, "0"},
        {-1.5, "-1.5"},
        {0.1, "0.1"},
        {0.1 + 0.2, "0.30000000000000004"},
        {1.0 / 3, "0.3333333333333333"},
        {1e300, "1e+300"},
        {5e-324, "4.94065645841247e-324"},
        {25.4 / 64, "0.396875"},
        {NAN, "null"},
        {INFINITY, "null"},
        {-INFINITY, "null"},
    };
    char text[BT_JSON_NUMBER_ROOM];

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        cr_expect_str_eq(bt_json_number(text, rows[i].value), rows[i].text);
        if (isfinite(rows[i].value))
            cr_expect_eq(strtod(text, NULL), rows[i].value, "%s", rows[i].text);
    }
}

/* cJSON's own printing would give 15 digits for neighbours of short decimals. */
Test(json, keeps_neighbouring_doubles_apart)
{
    char a[BT_JSON_NUMBER_ROOM], b[BT_JSON_NUMBER_ROOM];
    double value = 0.37;

    cr_expect_str_neq(bt_json_number(a, value), bt_json_number(b, nextafter(value, 1)));
}

Test(json, writes_a_point_for_whatever_a_locale_puts_between_digits)
{
    char comma[] = "-0,25e+10",
         arabic[] = "12\xd9\xab"
                    "5",
         plain[] = "1e-300";

    bt_json_put_point(comma);
    bt_json_put_point(arabic);
    bt_json_put_point(plain);
    cr_expect_str_eq(comma, "-0.25e+10");
    cr_expect_str_eq(arabic, "12.5");
    cr_expect_str_eq(plain, "1e-300");
}

static cJSON *parsed(const struct fixture *f, bool all)
{
    struct bt_buffer out = {0};
    cJSON *root;

    cr_assert_eq(bt_json_flatness(1, &f->result, all, &out), BT_OK);
    cr_assert_eq(out.text[out.length - 1], '\n');
    root = cJSON_Parse(out.text);
    cr_assert_not_null(root, "not JSON: %s", out.text);
    bt_buffer_clear(&out);
    return root;
}

static const cJSON *at(const cJSON *root, const char *a, const char *b, const char *c)
{
    const cJSON *item = cJSON_GetObjectItemCaseSensitive(root, a);

    if (item && b)
        item = cJSON_GetObjectItemCaseSensitive(item, b);
    if (item && c)
        item = cJSON_GetObjectItemCaseSensitive(item, c);
    cr_assert_not_null(item, "no %s %s %s", a, b ? b : "", c ? c : "");
    return item;
}

static double number(const cJSON *root, const char *a, const char *b, const char *c)
{
    const cJSON *item = at(root, a, b, c);

    cr_assert(cJSON_IsNumber(item), "%s is no number", a);
    return item->valuedouble;
}

Test(json, has_exactly_the_keys_of_the_design_in_their_order)
{
    static const char *const keys[] = {
        "panel",      "set",          "face",          "readings",
        "adjustment", "plane",        "residual",      "zone",
        "form",       "straightedge", "facets",        "limits",
        "own_weight", "corrections",  "u_of_readings", "heights"};
    struct fixture f;
    cJSON *root;
    size_t i = 0;

    fixture_init(&f);
    root = parsed(&f, false);
    for (const cJSON *item = root->child; item; item = item->next, i++) {
        cr_assert_lt(i, sizeof keys / sizeof *keys, "key too many: %s", item->string);
        cr_expect_str_eq(item->string, keys[i]);
    }
    cr_expect_eq(i, sizeof keys / sizeof *keys);
    cJSON_Delete(root);
}

Test(json, gives_every_figure_with_u_and_seen)
{
    struct fixture f;
    cJSON *root;

    fixture_init(&f);
    root = parsed(&f, false);
    cr_expect_eq(number(root, "panel", "length_mm", NULL), 800);
    cr_expect_eq(number(root, "form", "cup_mm", "value"), -1.234);
    cr_expect_eq(number(root, "form", "cup_mm", "u"), 0.05);
    cr_expect(cJSON_IsTrue(at(root, "form", "cup_mm", "seen")));
    cr_expect_eq(number(root, "residual", "valley_mm", "value"), -1.0);
    cr_expect_eq(number(root, "adjustment", "sigma0", NULL), 1.0625);
    cr_expect_eq(number(root, "adjustment", "dof", NULL), 2);
    cr_expect_eq(number(root, "readings", "kinds", "gap"), 9);
    cr_expect(cJSON_IsNull(at(root, "plane", NULL, NULL)));
    cr_expect_str_eq(at(root, "set", NULL, NULL)->valuestring, "after glue-up");
    cr_expect_str_eq(at(root, "face", NULL, NULL)->valuestring, "top");
    cJSON_Delete(root);
}

Test(json, gives_a_largest_figure_with_its_interval_and_what_noise_alone_shows)
{
    struct fixture f;
    const cJSON *range, *gaps;
    cJSON *root;

    fixture_init(&f);
    f.result.extremes.edge[BT_EDGE_ALONG].sure.alone = NAN;
    f.result.extremes.edge[BT_EDGE_ALONG].sure.draws = 0;
    root = parsed(&f, false);
    range = at(root, "residual", "range_mm", NULL);
    cr_expect_eq(number(range, "value", NULL, NULL), 1.9);
    cr_expect_eq(number(range, "u", NULL, NULL), 0.06);
    cr_assert_eq(cJSON_GetArraySize(at(range, "interval95_mm", NULL, NULL)), 2);
    cr_expect_eq(at(range, "interval95_mm", NULL, NULL)->child->valuedouble, 1.72);
    cr_expect_eq(at(range, "interval95_mm", NULL, NULL)->child->next->valuedouble,
                 2.08);
    cr_expect_eq(number(range, "noise_alone_mm", NULL, NULL), 0.13);
    cr_expect_eq(number(range, "draws", NULL, NULL), 2000);
    cr_expect_eq(number(root, "zone", "width_mm", "noise_alone_mm"), 0.12);
    gaps = at(root, "straightedge", NULL, NULL);
    /* a bound, without draws */
    cr_expect(cJSON_IsNull(
        at(cJSON_GetArrayItem(gaps, 0), "gap_mm", "noise_alone_mm", NULL)));
    cr_expect_eq(number(cJSON_GetArrayItem(gaps, 0), "gap_mm", "draws", NULL), 0);
    /* not seen */
    cr_expect(
        cJSON_IsNull(at(cJSON_GetArrayItem(gaps, 2), "gap_mm", "interval95_mm", NULL)));
    cJSON_Delete(root);
}

Test(json, gives_the_interval_of_the_verdict_where_its_confidence_is_not_95_percent)
{
    struct fixture f;
    const cJSON *width, *gaps;
    cJSON *root;

    fixture_init(&f);
    root = parsed(&f, false);
    width = at(root, "zone", "width_mm", NULL);
    cr_expect_null(cJSON_GetObjectItem(width, "interval_asked_mm"));
    cr_expect_null(cJSON_GetObjectItem(width, "confidence"));
    cr_expect_null(cJSON_GetObjectItem(width, "draws_enough"));
    cJSON_Delete(root);
    f.job.limits.confidence = 0.999;
    f.result.extremes.width_sure.asked = (struct bt_interval){1.55, 2.17};
    root = parsed(&f, false);
    width = at(root, "zone", "width_mm", NULL);
    cr_expect_eq(at(width, "interval95_mm", NULL, NULL)->child->valuedouble, 1.7);
    cr_expect_eq(at(width, "interval_asked_mm", NULL, NULL)->child->valuedouble, 1.55);
    cr_expect_eq(at(width, "interval_asked_mm", NULL, NULL)->child->next->valuedouble,
                 2.17);
    cr_expect_eq(number(width, "confidence", NULL, NULL), 0.999);
    cr_expect(cJSON_IsFalse(at(width, "draws_enough", NULL, NULL)));
    gaps = at(root, "straightedge", NULL, NULL);
    cr_expect(cJSON_IsNull(
        at(cJSON_GetArrayItem(gaps, 2), "gap_mm", "interval_asked_mm", NULL)));
    cJSON_Delete(root);
}

Test(json, gives_heights_with_their_places)
{
    struct fixture f;
    const cJSON *heights, *last;
    cJSON *root;

    fixture_init(&f);
    f.z[8] = NAN;
    root = parsed(&f, false);
    heights = at(root, "heights", NULL, NULL);
    cr_assert_eq(cJSON_GetArraySize(heights), 9);
    cr_expect_eq(number(cJSON_GetArrayItem(heights, 3), "y_mm", NULL, NULL), 150);
    cr_expect_eq(number(cJSON_GetArrayItem(heights, 3), "z_mm", NULL, NULL), -0.8);
    last = cJSON_GetArrayItem(heights, 8);
    cr_expect(cJSON_IsNull(at(last, "z_mm", NULL, NULL)));
    cJSON_Delete(root);
}

Test(json, writes_null_where_a_figure_is_not_seen)
{
    struct fixture f;
    const cJSON *limit;
    cJSON *root;

    fixture_init(&f);
    fixture_hide(&f, BT_FIGURE_TWIST);
    fixture_limit(&f, BT_FIGURE_TWIST, 0.8);
    root = parsed(&f, false);
    cr_expect(cJSON_IsNull(at(root, "form", "twist_mm", "value")));
    cr_expect(cJSON_IsNull(at(root, "form", "twist_mm", "u")));
    cr_expect(cJSON_IsFalse(at(root, "form", "twist_mm", "seen")));
    limit = cJSON_GetArrayItem(at(root, "limits", NULL, NULL), 0);
    cr_expect_str_eq(at(limit, "verdict", NULL, NULL)->valuestring, "not seen");
    cr_expect(cJSON_IsNull(at(limit, "p_within", NULL, NULL)));
    cr_expect_eq(number(limit, "limit_mm", NULL, NULL), 0.8);
    cJSON_Delete(root);
}

/* A value that is not seen must not leak out, whatever stands in it. */
Test(json, hides_a_number_that_is_marked_unseen)
{
    struct fixture f;
    cJSON *root;

    fixture_init(&f);
    f.result.flatness.form.bow = (struct bt_measured){7.5, 0.1, false};
    root = parsed(&f, false);
    cr_expect(cJSON_IsNull(at(root, "form", "bow_mm", "value")));
    cr_expect(cJSON_IsNull(at(root, "form", "bow_mm", "u")));
    cJSON_Delete(root);
}

Test(json, names_unseen_shapes_and_suspects)
{
    struct fixture f;
    const cJSON *unseen, *suspect;
    cJSON *root;

    fixture_init(&f);
    f.result.flatness.nunseen = 1;
    f.result.flatness.unseen[0] =
        (struct bt_unseen){.kind = BT_UNSEEN_TWIST, .count = 1};
    f.result.flatness.nsuspect = 1;
    f.result.flatness.suspect[0] = (struct bt_suspect){4, -0.2, -4.4, 0.001};
    root = parsed(&f, false);
    unseen = cJSON_GetArrayItem(at(root, "adjustment", "unseen", NULL), 0);
    cr_expect_str_eq(at(unseen, "shape", NULL, NULL)->valuestring, "twist");
    cr_expect_str_eq(
        at(unseen, "read_this", NULL, NULL)->valuestring,
        "both diagonals, from A to C and from B to D, with the place where they "
        "cross");
    suspect = cJSON_GetArrayItem(at(root, "adjustment", "suspects", NULL), 0);
    cr_expect_str_eq(at(suspect, "file", NULL, NULL)->valuestring, "readings.csv");
    cr_expect_eq(number(suspect, "line", NULL, NULL), 6);
    cr_expect_eq(number(suspect, "residual_mm", NULL, NULL), -0.2);
    cr_expect_eq(number(suspect, "score", NULL, NULL), -4.4);
    cJSON_Delete(root);
}

Test(json, gives_the_residual_of_a_slope_in_a_key_of_its_own)
{
    struct fixture f;
    const cJSON *suspect;
    cJSON *root;

    fixture_init(&f);
    f.obs[4].kind = BT_READ_SLOPE;
    f.result.flatness.nsuspect = 1;
    f.result.flatness.suspect[0] = (struct bt_suspect){4, 0.0005, 4.4, 0.001};
    root = parsed(&f, false);
    suspect = cJSON_GetArrayItem(at(root, "adjustment", "suspects", NULL), 0);
    cr_expect(cJSON_IsNull(at(suspect, "residual_mm", NULL, NULL)));
    cr_expect_eq(number(suspect, "residual_mm_per_m", NULL, NULL), 0.5);
    cJSON_Delete(root);
}

Test(json, counts_the_readings_left_out)
{
    struct fixture f;
    cJSON *root;

    fixture_init(&f);
    f.set.skipped = 2;
    f.set.merged = 3;
    root = parsed(&f, false);
    cr_expect_eq(number(root, "readings", "count", NULL), 11);
    cr_expect_eq(number(root, "readings", "used", NULL), 9);
    cr_expect_eq(number(root, "readings", "merged_points", NULL), 3);
    cJSON_Delete(root);
}

Test(json, gives_the_plane_of_heights_over_one_reference)
{
    struct fixture f;
    cJSON *root;

    fixture_init(&f);
    f.result.flatness.plane_known = true;
    f.result.flatness.plane = (struct bt_plane){2.385, -0.0017, 0.0009};
    root = parsed(&f, false);
    cr_expect_eq(number(root, "plane", "a_mm", NULL), 2.385);
    cr_expect_eq(number(root, "plane", "b", NULL), -0.0017);
    cr_expect_eq(number(root, "plane", "c", NULL), 0.0009);
    cJSON_Delete(root);
}

Test(json, gathers_all_sets_in_one_array)
{
    struct bt_buffer out = {0};
    struct fixture f;
    struct bt_set_result two[2];
    cJSON *root;

    fixture_init(&f);
    two[0] = two[1] = f.result;
    cr_assert_eq(bt_json_flatness(2, two, true, &out), BT_OK);
    root = cJSON_Parse(out.text);
    cr_expect_eq(cJSON_GetArraySize(at(root, "sets", NULL, NULL)), 2);
    cr_expect_eq(cJSON_GetArraySize(root), 1);
    cJSON_Delete(root);
    root = parsed(&f, true);
    cr_expect_eq(cJSON_GetArraySize(at(root, "sets", NULL, NULL)), 1);
    cJSON_Delete(root);
    bt_buffer_clear(&out);
}

Test(json, replaces_bytes_of_a_name_that_are_not_utf8)
{
    static char name[] = "caf\xc3\xa9 \xff\xc0\xaf\xed\xa0\x80 \"\x01";
    struct fixture f;
    cJSON *root;

    fixture_init(&f);
    f.set.name = name;
    root = parsed(&f, false);
    cr_expect_str_eq(at(root, "set", NULL, NULL)->valuestring,
                     "caf\xc3\xa9 \xef\xbf\xbd\xef\xbf\xbd\xef\xbf\xbd\xef\xbf\xbd"
                     "\xef\xbf\xbd\xef\xbf\xbd \"\x01");
    cJSON_Delete(root);
}

Test(json, refuses_to_report_no_set)
{
    struct bt_buffer out = {0};

    cr_expect_eq(bt_json_flatness(0, NULL, true, &out), BT_ECALL);
    cr_expect_null(out.text);
}

static const cJSON *element(const cJSON *root, const char *array, const char *inner,
                            int i)
{
    const cJSON *list = cJSON_GetObjectItemCaseSensitive(root, array);

    if (inner)
        list = cJSON_GetObjectItemCaseSensitive(list, inner);
    cr_assert_not_null(cJSON_GetArrayItem(list, i), "no %s[%d]", array, i);
    return cJSON_GetArrayItem(list, i);
}

Test(json, gives_zone_straightedge_and_facets)
{
    struct fixture f;
    const cJSON *item;
    cJSON *root;

    fixture_init(&f);
    fixture_joints(&f, BT_FACETS_FACETED);
    root = parsed(&f, false);
    cr_expect_eq(number(root, "zone", "width_mm", "value"), 1.86);
    cr_expect_eq(number(root, "zone", "width_mm", "u"), 0.05);
    cr_expect_str_eq(at(root, "zone", "kind", NULL)->valuestring, "2-2");
    cr_expect_eq(cJSON_GetArraySize(at(root, "zone", "normal", NULL)), 3);
    item = element(root, "zone", "contacts", 1);
    cr_expect_eq(number(item, "x_mm", NULL, NULL), 0);
    cr_expect_eq(number(item, "y_mm", NULL, NULL), 150);
    cr_expect_str_eq(at(item, "side", NULL, NULL)->valuestring, "lower");
    item = element(root, "straightedge", NULL, 1);
    cr_expect_eq(number(item, "span_mm", NULL, NULL), 800);
    cr_expect_str_eq(at(item, "direction", NULL, NULL)->valuestring, "across");
    cr_expect_eq(number(item, "gap_mm", "value", NULL), 1.216);
    cr_expect_eq(number(item, "y_mm", NULL, NULL), 150);
    item = element(root, "straightedge", NULL, 3);
    cr_expect(cJSON_IsNull(at(item, "gap_mm", "value", NULL)));
    cr_expect(cJSON_IsNull(at(item, "x_mm", NULL, NULL)));
    item = element(root, "facets", "joints", 1);
    cr_expect_eq(number(item, "y_mm", NULL, NULL), 200);
    cr_expect_eq(number(item, "kink_deg", "value", NULL), 0.31);
    cr_expect_str_eq(at(root, "facets", "preferred", NULL)->valuestring, "faceted");
    cJSON_Delete(root);
}

Test(json, gives_null_for_a_zone_that_is_not_seen)
{
    struct fixture f;
    cJSON *root;

    fixture_init(&f);
    fixture_hide(&f, BT_FIGURE_ZONE);
    root = parsed(&f, false);
    cr_expect(cJSON_IsNull(at(root, "zone", "width_mm", "value")));
    cr_expect(cJSON_IsNull(at(root, "zone", "normal", NULL)));
    cr_expect(cJSON_IsNull(at(root, "zone", "kind", NULL)));
    cr_expect_eq(cJSON_GetArraySize(at(root, "zone", "contacts", NULL)), 0);
    cJSON_Delete(root);
}
