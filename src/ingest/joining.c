/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sections of job.ini that fence, edges and glueup are given. */
#include "ingest/load.h"

#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "ingest/keys.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* ---- [fence] ---- */

static enum bt_status read_feed(struct bt_load *load, const struct bt_ini_entry *entry,
                                void *out)
{
    static const char *const words[] = {"right to left", "left to right"};
    size_t which;

    if (bt_key_choice(load, entry, COUNT(words), words, &which) != BT_OK)
        return BT_EINPUT;
    *(enum bt_feed *)out = which == 1 ? BT_FEED_LEFT_TO_RIGHT : BT_FEED_RIGHT_TO_LEFT;
    return BT_OK;
}

static enum bt_status read_pattern(struct bt_load *load,
                                   const struct bt_ini_entry *entry, void *out)
{
    const char *words[BT_PATTERNS];
    size_t which;

    for (int i = 0; i < BT_PATTERNS; i++)
        words[i] = bt_pattern_name((enum bt_pattern)i);
    if (bt_key_choice(load, entry, BT_PATTERNS, words, &which) != BT_OK)
        return BT_EINPUT;
    *(enum bt_pattern *)out = (enum bt_pattern)which;
    return BT_OK;
}

static void check_cutter(struct bt_load *load, const struct bt_ini_section *section)
{
    const struct bt_fence_setup *fence = &load->job->fence;
    const struct bt_ini_entry *entry = bt_keys_entry(section, "cutter");
    char length[BT_PRINT_ROOM], shown[BT_SHOWN_ROOM];

    if (!entry || isnan(fence->length) || isnan(fence->cutter) ||
        fence->cutter <= fence->length)
        return;
    bt_key_value_fault(
        load, entry, "a cutter off the fence: '%s', the fence is %s long",
        bt_fault_shown(entry->value.text, entry->value.length, shown),
        bt_print_length(length, fence->length, 0, load->job->system, BT_LENGTH_RULE));
}

enum bt_status bt_fence_section_read(struct bt_load *load,
                                     const struct bt_ini_section *section)
{
    static const struct bt_key keys[] = {
        {"length", bt_key_above_zero, offsetof(struct bt_fence_setup, length)},
        {"height", bt_key_above_zero, offsetof(struct bt_fence_setup, height)},
        {"cutter", bt_key_zero_or_above, offsetof(struct bt_fence_setup, cutter)},
        {"feed", read_feed, offsetof(struct bt_fence_setup, feed)},
        {"pattern", read_pattern, offsetof(struct bt_fence_setup, pattern)},
        {"scatter", bt_key_angle, offsetof(struct bt_fence_setup, scatter)},
        {"taper_u", bt_key_zero_or_above, offsetof(struct bt_fence_setup, u_taper)},
        {"against_grain", bt_key_yes_no,
         offsetof(struct bt_fence_setup, against_grain)},
    };
    enum bt_status status =
        bt_keys_read(load, section, COUNT(keys), keys, &load->job->fence);

    if (status == BT_OK)
        check_cutter(load, section);
    return status;
}

/* ---- [glue] ---- */

static enum bt_status read_glue(struct bt_load *load, const struct bt_ini_entry *entry,
                                void *out)
{
    const struct bt_ini_text *value = &entry->value;
    const struct bt_glue *glue = bt_glue_find(value->text, value->length);
    const char *names[32];
    char list[BT_KNOWN_ROOM], shown[BT_SHOWN_ROOM];
    size_t n = bt_glue_count() < COUNT(names) ? bt_glue_count() : COUNT(names);

    if (glue) {
        *(const struct bt_glue **)out = glue;
        return BT_OK;
    }
    for (size_t i = 0; i < n; i++)
        names[i] = bt_glue_at(i)->name;
    return bt_key_value_fault(
        load, entry, "unknown kind of glue: '%s', write one of %s",
        bt_fault_shown(value->text, value->length, shown), bt_say_list(list, n, names));
}

enum bt_status bt_glue_section_read(struct bt_load *load,
                                    const struct bt_ini_section *section)
{
    static const struct bt_key keys[] = {
        {"kind", read_glue, offsetof(struct bt_glue_setup, kind)},
        {"gap", bt_key_above_zero, offsetof(struct bt_glue_setup, gap)},
        {"open_time", bt_key_minutes, offsetof(struct bt_glue_setup, open_time)},
        {"clamp_time", bt_key_minutes, offsetof(struct bt_glue_setup, clamp_time)},
        {"temperature", bt_key_temperature,
         offsetof(struct bt_glue_setup, temperature)},
        {"pressure", bt_key_pressure, offsetof(struct bt_glue_setup, pressure)},
        {"spread_time", bt_key_minutes, offsetof(struct bt_glue_setup, spread_time)},
        {"place_time", bt_key_minutes, offsetof(struct bt_glue_setup, place_time)},
        {"caul", bt_key_zero_or_above, offsetof(struct bt_glue_setup, caul)},
        {"joints", bt_key_count, offsetof(struct bt_glue_setup, joints)},
    };

    return bt_keys_read(load, section, COUNT(keys), keys, &load->job->glue);
}

/* ---- [clamp NAME] ---- */

enum bt_status bt_clamp_section_read(struct bt_load *load,
                                     const struct bt_ini_section *section)
{
    static const struct bt_key keys[] = {
        {"count", bt_key_count, offsetof(struct bt_clamp_kind, count)},
        {"force", bt_key_force, offsetof(struct bt_clamp_kind, force)},
        {"opening", bt_key_above_zero, offsetof(struct bt_clamp_kind, opening)},
        {"offset", bt_key_zero_or_above, offsetof(struct bt_clamp_kind, offset)},
        {"pad", bt_key_pad, offsetof(struct bt_clamp_kind, pad)},
    };
    struct bt_job *job = load->job;
    struct bt_clamp *grown, *clamp;
    char shown[BT_SHOWN_ROOM];

    grown = bt_grow(job->clamp, &load->clamp_room, job->nclamp + 1, sizeof *grown);
    if (!grown)
        return BT_ENOMEM;
    job->clamp = grown;
    clamp = &grown[job->nclamp];
    *clamp = (struct bt_clamp){
        .line = section->line,
        .kind = {.force = NAN, .opening = NAN, .offset = NAN},
    };
    clamp->name = bt_copy_text(section->name.text, section->name.length);
    if (!clamp->name)
        return BT_ENOMEM;
    job->nclamp++;
    if (!bt_keys_entry(section, "count"))
        bt_fault_add(load->faults, BT_EINPUT, "job.ini", section->line, 1,
                     "a clamp without its count: '%s', write count = how many of them "
                     "you own",
                     bt_fault_shown(section->name.text, section->name.length, shown));
    return bt_keys_read(load, section, COUNT(keys), keys, &clamp->kind);
}

/* ---- [plan] ---- */

/* A push by hand needs both its force and the gap that it closed. */
static void check_hand(struct bt_load *load, const struct bt_ini_section *section)
{
    const struct bt_ini_entry *force = bt_keys_entry(section, "hand_force");
    const struct bt_ini_entry *gap = bt_keys_entry(section, "hand_gap");

    if (force && !gap)
        bt_key_fault(load, force,
                     "hand_force without hand_gap: state the gap that "
                     "the push closed, too");
    if (gap && !force)
        bt_key_fault(load, gap,
                     "hand_gap without hand_force: state the push that "
                     "closed it, too");
}

/* Along two lines a panel can be tilted, but not pulled flat. */
static void check_lines(struct bt_load *load, const struct bt_ini_section *section)
{
    const struct bt_ini_entry *lines = bt_keys_entry(section, "screw_lines");

    if (lines && load->job->plan.screw_lines && load->job->plan.screw_lines < 3)
        bt_key_value_fault(load, lines,
                           "screw_lines must be 3 or more: two lines of screws cannot "
                           "pull a panel flat");
}

/* A least size that the panel is under already leaves nothing to take off. */
static enum bt_status note_least(struct bt_load *load,
                                 const struct bt_ini_section *section, const char *key,
                                 const char *what, double least, double is)
{
    const struct bt_ini_entry *entry = bt_keys_entry(section, key);
    char asked[BT_PRINT_ROOM], there[BT_PRINT_ROOM];
    const enum bt_system system = load->job->system;

    if (!entry || !(least > is))
        return BT_OK;
    return bt_note_matters(
        &load->notes,
        bt_note_add(&load->notes, "job.ini", entry->line,
                    "%s is %s, the panel is only %s %s: nothing may come off", key,
                    bt_print_length(asked, least, 0, system, BT_LENGTH_RULE),
                    bt_print_length(there, is, 0, system, BT_LENGTH_RULE), what));
}

static enum bt_status note_leasts(struct bt_load *load,
                                  const struct bt_ini_section *section)
{
    const struct bt_job *job = load->job;
    const enum bt_status status =
        note_least(load, section, "least_thickness", "thick", job->plan.least_thickness,
                   job->panel.thickness);

    return status == BT_OK ? note_least(load, section, "least_width", "wide",
                                        job->plan.least_width, job->panel.width)
                           : status;
}

enum bt_status bt_plan_section_read(struct bt_load *load,
                                    const struct bt_ini_section *section)
{
#define TO(member) offsetof(struct bt_work_plan, member)
    static const struct bt_key keys[] = {
        {"least_thickness", bt_key_above_zero, TO(least_thickness)},
        {"least_width", bt_key_above_zero, TO(least_width)},
        {"depth_per_pass", bt_key_above_zero, TO(depth_per_pass)},
        {"machine_width", bt_key_above_zero, TO(machine_width)},
        {"shaving", bt_key_above_zero, TO(shaving)},
        {"kerf", bt_key_zero_or_above, TO(kerf)},
        {"jointing", bt_key_zero_or_above, TO(jointing)},
        {"trim", bt_key_zero_or_above, TO(trim)},
        {"setup_time", bt_key_minutes, TO(setup_time)},
        {"pass_time", bt_key_minutes, TO(pass_time)},
        {"plane_time", bt_key_minutes, TO(plane_time)},
        {"joint_time", bt_key_minutes, TO(joint_time)},
        {"screw_time", bt_key_minutes, TO(screw_time)},
        {"hand_force", bt_key_force, TO(hand_force)},
        {"hand_gap", bt_key_above_zero, TO(hand_gap)},
        {"screw_diameter", bt_key_above_zero, TO(screw_diameter)},
        {"screw_thread", bt_key_above_zero, TO(screw_thread)},
        {"screw_lines", bt_key_count, TO(screw_lines)},
        {"screws", bt_key_count, TO(screws)},
    };
#undef TO
    enum bt_status status =
        bt_keys_read(load, section, COUNT(keys), keys, &load->job->plan);

    if (status == BT_OK) {
        check_hand(load, section);
        check_lines(load, section);
        status = note_leasts(load, section);
    }
    return status;
}
