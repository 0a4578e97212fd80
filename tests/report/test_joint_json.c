/* SPDX-License-Identifier: GPL-3.0-or-later */

/* JSON of fence, edges and glueup, of answers built by hand. */
#include <criterion/criterion.h>

#include <cjson/cJSON.h>
#include <math.h>
#include <string.h>

#include "benchtrue/report/joint_json.h"
#include "report/joint_fixture.h"

/* To be deleted. */
static cJSON *parsed(enum bt_status status, struct bt_buffer *out)
{
    cJSON *json = NULL;

    cr_assert_eq(status, BT_OK);
    json = cJSON_Parse(out->text);
    cr_assert_not_null(json, "%s", out->text);
    cr_expect_eq(out->text[out->length - 1], '\n');
    bt_buffer_clear(out);
    return json;
}

static cJSON *fence_of(const struct joint_fixture *f)
{
    struct bt_buffer out = {0};

    return parsed(bt_json_fence(&f->fence, &out), &out);
}

static cJSON *edges_of(const struct joint_fixture *f)
{
    struct bt_buffer out = {0};

    return parsed(bt_json_edges(&f->edges, &out), &out);
}

static cJSON *glueup_of(const struct joint_fixture *f)
{
    struct bt_buffer out = {0};

    return parsed(bt_json_glueup(&f->glueup, &out), &out);
}

/* `a.b.2.c`: members by name, elements by number; NULL where there is none. */
static const cJSON *at(const cJSON *item, const char *path)
{
    char part[64];

    while (item && *path) {
        size_t n = strcspn(path, ".");

        memcpy(part, path, n);
        part[n] = '\0';
        if (cJSON_IsArray(item))
            item = cJSON_GetArrayItem(item, part[0] - '0');
        else
            item = cJSON_GetObjectItemCaseSensitive(item, part);
        path += n + (path[n] == '.');
    }
    return item;
}

static void expect_number(const cJSON *json, const char *path, double value)
{
    const cJSON *item = at(json, path);

    cr_assert(cJSON_IsNumber(item), "%s is no number", path);
    cr_expect(fabs(item->valuedouble - value) <= 1e-12 * (1 + fabs(value)),
              "%s is %.17g, not %.17g", path, item->valuedouble, value);
}

static void expect_text(const cJSON *json, const char *path, const char *text)
{
    const cJSON *item = at(json, path);

    cr_assert(cJSON_IsString(item), "%s is no text", path);
    cr_expect_str_eq(item->valuestring, text, "%s is '%s'", path, item->valuestring);
}

static void expect_null(const cJSON *json, const char *path)
{
    const cJSON *item = at(json, path);

    cr_assert(item, "no %s", path);
    cr_expect(cJSON_IsNull(item), "%s is not null", path);
}

Test(joint_json, fence_gives_angles_in_degrees_and_what_is_not_seen_as_null)
{
    struct joint_fixture f;
    cJSON *json;

    joint_fixture_init(&f);
    joint_fixture_limit(&f, 1);
    f.fence.setup.fence.twist = (struct bt_measured){NAN, NAN, false};
    f.fence.setup.fence.scatter = NAN;
    json = fence_of(&f);
    expect_number(json, "fence.checks", 3);
    expect_number(json, "fence.e_deg.value", 0.12);
    expect_number(json, "fence.e_deg.u", 0.012);
    expect_number(json, "fence.slope_deg_per_m.value", 0.04 / 0.9);
    expect_null(json, "fence.twist_deg.value");
    cr_expect(cJSON_IsFalse(at(json, "fence.twist_deg.seen")));
    expect_null(json, "fence.scatter_deg");
    expect_text(json, "fence.agreement", "agree");
    expect_text(json, "fence.worst.file", "fence.csv");
    expect_number(json, "fence.worst.line", 5);
    expect_null(json, "fence.stations.1.station_mm");
    expect_number(json, "fence.stations.1.e_deg.value", -0.2);
    expect_text(json, "fence.kinds.1.kind", "angle");
    expect_text(json, "fence.next.kind", "square");
    expect_number(json, "fence.next.u_deg", 0.009);
    expect_number(json, "limits.0.limit_mm", 1);
    expect_text(json, "verdict", "within");
    cJSON_Delete(json);
}

Test(joint_json, fence_gives_each_way_with_what_its_cup_is_made_of)
{
    struct joint_fixture f;
    cJSON *json;

    joint_fixture_init(&f);
    json = fence_of(&f);
    cr_expect_eq(cJSON_GetArraySize(at(json, "ways")), 2);
    expect_text(json, "ways.0.pattern", "same face");
    cr_expect(cJSON_IsFalse(at(json, "ways.0.planned")));
    cr_expect(cJSON_IsTrue(at(json, "ways.1.planned")));
    expect_number(json, "ways.0.cup_mm.value", -0.63);
    expect_number(json, "ways.0.from_fence_mm.value", -0.58);
    expect_number(json, "ways.1.from_taper_mm.u", 0.03);
    expect_number(json, "ways.1.u_scatter_mm", 0.14);
    expect_number(json, "ways.1.u_twist_mm", 0.04);
    cJSON_Delete(json);
    f.fence.planned.pattern = BT_PATTERN_BEST;
    json = fence_of(&f);
    expect_text(json, "ways.2.pattern", "best");
    cJSON_Delete(json);
    f.fence.boards_known = false;
    f.fence.setup.fence.worst = JOINT_CHECKS;
    json = fence_of(&f);
    cr_expect_eq(cJSON_GetArraySize(at(json, "ways")), 0);
    expect_null(json, "fence.worst");
    cJSON_Delete(json);
}

Test(joint_json, what_was_taken_carries_its_source)
{
    struct joint_fixture f;
    cJSON *json;

    joint_fixture_init(&f);
    json = edges_of(&f);
    expect_text(json, "errors.e_source", "fence.csv");
    expect_number(json, "errors.scatter_deg", 0.03);
    expect_text(json, "errors.scatter_source", "common practice, no source");
    expect_text(json, "errors.u_taper_source", "common practice, no source");
    expect_text(json, "errors.twist_scatter_source", "common practice, no source");
    expect_text(json, "glue_gap.source", "a source of the gap");
    expect_text(json, "spring.e_along_source", "a source of E");
    expect_text(json, "spring.g_along_source", "a source of G");
    cJSON_Delete(json);
    f.edges.setup.fence_read = f.edges.setup.scatter_assumed = false;
    f.edges.setup.twist_scatter = 0;
    json = edges_of(&f);
    expect_text(json, "errors.e_source", "common practice, no source");
    expect_text(json, "errors.scatter_source", "job.ini");
    expect_null(json, "errors.twist_scatter_source");
    cJSON_Delete(json);
}

Test(joint_json, edges_give_the_marks_and_what_comes_out)
{
    struct joint_fixture f;
    cJSON *json;

    joint_fixture_init(&f);
    f.conflict[0] = (struct bt_edge_conflict){2, true, BT_CONFLICT_GRAIN, false};
    f.edges.plan.nconflict = 1;
    json = edges_of(&f);
    cr_expect_eq(cJSON_GetArraySize(at(json, "edges")), 6);
    expect_text(json, "edges.2.board", "2");
    expect_text(json, "edges.2.edge", "back");
    expect_text(json, "edges.2.mark", "out");
    expect_text(json, "edges.2.face_to_fence", "other");
    expect_text(json, "edges.2.leading_end", "right");
    cr_expect(cJSON_IsTrue(at(json, "edges.2.turned")));
    expect_number(json, "edges.2.joint", 1);
    expect_null(json, "edges.0.joint");
    expect_text(json, "plan.pattern", "alternate boards");
    expect_text(json, "plan.conflicts.0.kind", "grain");
    expect_number(json, "section.cup_mm.value", -0.12);
    expect_number(json, "section.joints.1.kink_deg.value", -0.02);
    expect_text(json, "section.joints.1.opens_at", "other");
    expect_number(json, "section.corners.1.show_front_mm.1", -0.14);
    expect_text(json, "forgotten.0.board", "2");
    expect_number(json, "forgotten.0.kink_deg", 0.24);
    expect_number(json, "scatter.drawn", 10000);
    expect_number(json, "scatter.seed", 1);
    expect_number(json, "scatter.cup_p95_mm", 0.31);
    expect_number(json, "opening.joint", 1);
    expect_text(json, "verdict", "within");
    cJSON_Delete(json);
}

Test(joint_json, edges_give_dry_fits_and_springs)
{
    struct joint_fixture f;
    cJSON *json;

    joint_fixture_init(&f);
    joint_fixture_dry(&f, BT_DRY_OPEN, BT_DRY_TOO_CLOSE);
    f.dry[1].fit.mend = BT_MEND_CROWN;
    f.spring[1].read = true;
    f.spring[1].dry = (struct bt_spring_joint){.hollow = -0.1,
                                               .crown = true,
                                               .force_middle = NAN,
                                               .force_planned = NAN,
                                               .gap_planned = NAN};
    json = edges_of(&f);
    expect_number(json, "dry_fit.1.joint", 2);
    expect_number(json, "dry_fit.1.hollow_mm.value", 0.21);
    expect_text(json, "dry_fit.1.angle_verdict", "open");
    expect_text(json, "dry_fit.1.straight_verdict", "too close to call");
    expect_text(json, "dry_fit.1.mend", "crown");
    expect_text(json, "verdict", "over");
    expect_null(json, "spring.joints.0.dry_fit");
    cr_expect(cJSON_IsTrue(at(json, "spring.joints.1.dry_fit.crown")));
    expect_null(json, "spring.joints.1.dry_fit.force_middle_n");
    expect_number(json, "spring.joints.1.aim_mm", 0.79);
    expect_number(json, "spring.joints.1.closes_most_mm", 6.2);
    cJSON_Delete(json);
}

Test(joint_json, one_board_has_no_opening)
{
    struct joint_fixture f;
    cJSON *json;

    joint_fixture_init(&f);
    f.edges.section.njoint = 0;
    json = edges_of(&f);
    expect_null(json, "opening");
    cJSON_Delete(json);
}

Test(joint_json, glueup_gives_clamps_stages_and_times_with_their_sources)
{
    struct joint_fixture f;
    cJSON *json;

    joint_fixture_init(&f);
    f.glueup.clamp_time = (struct bt_sourced){NAN, ""};
    json = glueup_of(&f);
    expect_number(json, "pressure.aim_mpa", 1.2);
    expect_text(json, "pressure.source", "a source of the pressure");
    expect_text(json, "pressure.density_source", "a source of the density");
    expect_number(json, "pressure.force_joint_n", 47000);
    expect_number(json, "clamps.needed", 3);
    expect_number(json, "clamps.shortfall", 0);
    expect_number(json, "clamps.places.1.x_mm", 700);
    expect_text(json, "clamps.places.1.side", "above");
    expect_text(json, "clamps.places.1.kind", "bar");
    expect_number(json, "clamps.buckling", 0.2);
    expect_number(json, "stages.0.joints.0", 2);
    expect_number(json, "stages.1.time_min", 2.5);
    expect_number(json, "glue.shop_c", 20);
    expect_text(json, "glue.shop_source", "common practice, no source");
    expect_number(json, "glue.open_min", 10);
    expect_text(json, "glue.open_source", "a source of the open time");
    expect_null(json, "glue.clamp_min");
    expect_null(json, "glue.clamp_source");
    expect_number(json, "glue.surface_d", 7);
    expect_number(json, "glue_gap.most_mm", 0.15);
    expect_text(json, "opening.verdict", "within");
    expect_text(json, "verdict", "within");
    cJSON_Delete(json);
}

Test(joint_json, cautions_carry_their_source_and_the_boards_under_them)
{
    struct joint_fixture f;
    const cJSON *caution;
    size_t named = 0;
    cJSON *json;

    joint_fixture_init(&f);
    f.board[1].length = 200; /* too short for a jointer */
    json = edges_of(&f);
    cJSON_ArrayForEach(caution, at(json, "cautions"))
    {
        const cJSON *boards = at(caution, "boards");

        cr_expect(strlen(at(caution, "source")->valuestring) > 0);
        if (cJSON_GetArraySize(boards) == 0)
            continue;
        cr_expect_eq(cJSON_GetArraySize(boards), 1);
        cr_expect_str_eq(at(boards, "0.board")->valuestring, "2");
        named++;
    }
    cr_expect_eq(named, 1);
    cJSON_Delete(json);
}

Test(joint_json, what_stood_in_the_buffer_stays_before_the_object)
{
    struct joint_fixture f;
    struct bt_buffer out = {0};

    joint_fixture_init(&f);
    bt_buffer_text(&out, "before ");
    cr_assert_eq(bt_json_fence(&f.fence, &out), BT_OK);
    cr_expect(strncmp(out.text, "before {", 8) == 0);
    bt_buffer_clear(&out);
}
