/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/ingest/job.h"

#include <errno.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

#include "benchtrue/base/alloc.h"
#include "ingest/load.h"

static const char job_file[] = "job.ini";

/* Places on wood nearer than this are one point where [job] same_point says nothing
 * (design, readings). */
#define SAME_POINT_MM 3.0

static void set_unstated(struct bt_job *job)
{
    memset(job, 0, sizeof *job);
    job->same_point = SAME_POINT_MM;
    job->gap_unit = BT_UNIT_NONE;
    job->panel.length = job->panel.width = job->panel.thickness = NAN;
    job->limits = bt_limits_none();
    job->plan = bt_work_plan_none();
    job->climate = bt_climate_none();
    job->opening.plan = bt_opening_plan_none();
    job->fixing = bt_fixing_none();
    job->layout = bt_layout_none();
    job->stock = bt_stock_none();
    job->fence = (struct bt_fence_setup){.length = NAN,
                                         .height = NAN,
                                         .cutter = NAN,
                                         .feed = BT_FEED_RIGHT_TO_LEFT,
                                         .pattern = BT_PATTERN_BEST,
                                         .scatter = NAN,
                                         .u_taper = NAN,
                                         .against_grain = true};
    job->glue = (struct bt_glue_setup){.gap = NAN,
                                       .open_time = NAN,
                                       .clamp_time = NAN,
                                       .temperature = NAN,
                                       .pressure = NAN,
                                       .spread_time = NAN,
                                       .place_time = NAN,
                                       .caul = NAN};
}

static void clear_instruments(struct bt_job *job)
{
    for (size_t i = 0; i < job->ninstrument; i++)
        bt_free(job->instrument[i].name);
    for (size_t i = 0; i < job->nfeeler; i++)
        bt_free((char *)job->feeler[i].name);
    bt_free(job->instrument);
    bt_free(job->feeler);
}

static void clear_boards(struct bt_job *job)
{
    for (size_t i = 0; i < job->nboard; i++) {
        bt_free(job->board[i].name);
        bt_free(job->board[i].species);
        bt_free(job->board[i].rings);
    }
    bt_free(job->board);
    bt_free(job->board_file);
    bt_free(job->joint);
}

static void clear_glue_up(struct bt_job *job)
{
    bt_free(job->thickness);
    bt_free(job->opening.reading);
    bt_free(job->fence.check);
    bt_free(job->fence.file);
    for (size_t i = 0; i < job->nclamp; i++)
        bt_free(job->clamp[i].name);
    bt_free(job->clamp);
    for (size_t i = 0; i < job->ndry_fit; i++)
        bt_free(job->dry_fit[i].gap);
    bt_free(job->dry_fit);
    for (size_t i = 0; i < job->layout.ncutout; i++)
        bt_free(job->layout.cutout[i].name);
    bt_free(job->layout.cutout);
    bt_free(job->layout.clear);
    for (size_t i = 0; i < job->fixing.n; i++)
        bt_free(job->fixing.fixing[i].name);
    bt_free(job->fixing.fixing);
}

static void clear_stock(struct bt_job *job)
{
    for (size_t i = 0; i < job->stock.n; i++) {
        bt_free(job->stock.board[i].name);
        bt_free(job->stock.board[i].species);
    }
    bt_free(job->stock.board);
}

void bt_job_clear(struct bt_job *job)
{
    if (!job)
        return;
    bt_free(job->folder);
    bt_free(job->title);
    bt_free(job->client);
    bt_free(job->date);
    bt_free(job->panel.species);
    clear_instruments(job);
    clear_boards(job);
    clear_glue_up(job);
    clear_stock(job);
    for (size_t i = 0; i < job->nset; i++)
        bt_set_clear(&job->set[i]);
    bt_free(job->set);
    bt_notes_free(job->note, job->nnote);
    set_unstated(job);
}

void bt_job_init(struct bt_job *job)
{
    bt_job_clear(job);
}

size_t bt_job_latest(const struct bt_job *job)
{
    size_t latest = job->nset;

    /* "" stands before every date, and dates written YYYY-MM-DD sort as text. */
    for (size_t i = 0; i < job->nset; i++)
        if (latest == job->nset || strcmp(job->set[i].date, job->set[latest].date) >= 0)
            latest = i;
    return latest;
}

double bt_job_panel_y(const struct bt_job *job, const struct bt_set *set, double y)
{
    return set->face == BT_FACE_BOTTOM ? job->panel.width - y : y;
}

/* ---- what the path is ---- */

static bool is_folder(const char *path)
{
    struct stat about;

    return stat(path, &about) == 0 && S_ISDIR(about.st_mode);
}

static enum bt_status too_long(struct bt_load *load, const char *path)
{
    return bt_fault_add(load->faults, BT_EINPUT, path, 0, 0,
                        "the path is too long for this system");
}

/* Where the files are, and whether there is a job at all. */
static enum bt_status find_folder(struct bt_load *load, const char *path)
{
    const char *slash = strrchr(path, '/');
    const char *last = slash ? slash + 1 : path;
    size_t length = strlen(path);

    if (length >= sizeof load->folder)
        return too_long(load, path);
    if (is_folder(path)) {
        while (length > 1 && path[length - 1] == '/')
            length--;
        memcpy(load->folder, path, length);
        load->folder[length] = '\0';
        return BT_OK;
    }
    if (strcmp(last, job_file) != 0)
        load->bare = path;
    if (slash == path) {
        memcpy(load->folder, "/", 2);
    } else if (slash) {
        memcpy(load->folder, path, (size_t)(slash - path));
        load->folder[slash - path] = '\0';
    }
    return BT_OK;
}

static enum bt_status start_texts(struct bt_load *load)
{
    struct bt_job *job = load->job;
    const char *folder = load->bare ? "" : *load->folder ? load->folder : ".";

    job->folder = bt_copy_text(folder, strlen(folder));
    job->title = bt_copy_text("", 0);
    job->client = bt_copy_text("", 0);
    job->date = bt_copy_text("", 0);
    job->panel.species = bt_copy_text("", 0);
    job->fence.file = bt_copy_text("", 0);
    job->board_file = bt_copy_text("", 0);
    return job->folder && job->title && job->client && job->date &&
                   job->panel.species && job->fence.file && job->board_file
               ? BT_OK
               : BT_ENOMEM;
}

/* ---- which sets ---- */

static void keep_one_set(struct bt_load *load, size_t kept)
{
    struct bt_job *job = load->job;

    for (size_t i = 0; i < job->nset; i++)
        if (i != kept)
            bt_set_clear(&job->set[i]);
    if (kept < job->nset) {
        job->set[0] = job->set[kept];
        load->plan[0] = load->plan[kept];
    }
    job->nset = kept < job->nset ? 1 : 0;
}

static size_t set_of_name(struct bt_load *load, const char *name)
{
    const struct bt_job *job = load->job;
    const char *names[16];
    size_t n = job->nset < 16 ? job->nset : 16;
    char known[BT_KNOWN_ROOM], shown[BT_SHOWN_ROOM];

    for (size_t i = 0; i < job->nset; i++)
        if (strcmp(job->set[i].name, name) == 0)
            return i;
    for (size_t i = 0; i < n; i++)
        names[i] = job->set[i].name;
    bt_fault_add(load->faults, BT_EINPUT, "--set", 0, 0, "no such set: '%s', %s",
                 bt_fault_shown(name, strlen(name), shown),
                 bt_say_known(known, name, strlen(name), n, names));
    return job->nset;
}

static enum bt_status choose_sets(struct bt_load *load)
{
    struct bt_job *job = load->job;

    job->nset_named = job->nset;
    if (load->options->only_set)
        keep_one_set(load, set_of_name(load, load->options->only_set));
    else if (load->options->latest_only)
        keep_one_set(load, bt_job_latest(job));
    /* A fault may be why no set is known. */
    if (job->nset_named || load->faults->n > load->faults_before)
        return BT_OK;
    if (!load->options->blank_is_fault)
        return bt_note_add(&load->notes, job_file, 0,
                           "no readings: a section [readings NAME] names their files");
    bt_fault_add(load->faults, BT_EINPUT, job_file, 0, 0,
                 "no readings: write a section [readings NAME] with files = NAME.csv");
    return BT_OK;
}

/* ---- reading ---- */

static enum bt_status read_sets(struct bt_load *load)
{
    struct bt_job *job = load->job;
    enum bt_status status = BT_OK;

    for (size_t i = 0; i < job->nset && status == BT_OK; i++)
        status = bt_set_read(load, &job->set[i], &load->plan[i]);
    /* What no set uses can only be told when all were read. */
    if (status == BT_OK && job->nset == job->nset_named) {
        status = bt_lines_read(load);
        if (status == BT_OK)
            status = bt_lines_unused(load);
    }
    return status;
}

static enum bt_status read_job(struct bt_load *load)
{
    char path[BT_PATH_ROOM];
    struct bt_ini ini;
    enum bt_status status;

    if (bt_inside_path(load, job_file, path) != BT_OK)
        return BT_OK;
    /* Which folder was meant tells more than the name alone. */
    if (*load->folder && is_folder(load->folder) && !bt_inside_exists(load, job_file)) {
        bt_fault_add(
            load->faults, BT_ENOFILE, path, 0, 0,
            "there is no such file: `benchtrue new DIR` writes one to fill in");
        return BT_OK;
    }
    status = bt_ini_read(path, bt_inside_exists(load, job_file) ? job_file : path, &ini,
                         load->faults);
    if (status == BT_OK)
        status = bt_jobfile_read(load, &ini);
    if (status == BT_OK)
        status =
            bt_boards_read(load, load->boards, load->boards ? &load->boards_by : NULL);
    if (status == BT_OK)
        status = bt_fence_read(load);
    if (status == BT_OK)
        status = bt_dry_fit_read(load);
    if (status == BT_OK)
        status = bt_thickness_read(load);
    if (status == BT_OK)
        status = bt_opening_read(load);
    if (status == BT_OK)
        status = bt_fixings_read(load);
    if (status == BT_OK)
        status = bt_cutouts_read(load);
    if (status == BT_OK)
        status = bt_stock_read(load);
    if (status == BT_OK)
        status = choose_sets(load);
    if (status == BT_OK)
        status = read_sets(load);
    bt_ini_clear(&ini);
    return status;
}

static enum bt_status read_bare(struct bt_load *load)
{
    struct stat about;
    struct bt_job *job = load->job;
    const char *slash = strrchr(load->bare, '/');
    const char *name = slash ? slash + 1 : load->bare;
    const struct bt_set_plan plan = {.instrument = -1};

    /* it may have been meant for a job */
    if (lstat(load->bare, &about) != 0 && errno == ENOENT) {
        bt_fault_add(load->faults, BT_ENOFILE, load->bare, 0, 0,
                     "there is no such file or folder");
        return BT_OK;
    }
    job->panel.length = load->options->length;
    job->panel.width = load->options->width;
    job->set = bt_alloc(1, sizeof *job->set);
    if (!job->set)
        return BT_ENOMEM;
    job->nset = job->nset_named = 1;
    if (bt_set_start(&job->set[0], name, strlen(name)) != BT_OK)
        return BT_ENOMEM;
    job->set[0].file = bt_alloc(1, sizeof *job->set[0].file);
    if (!job->set[0].file)
        return BT_ENOMEM;
    job->set[0].nfile = 1;
    job->set[0].file[0] = bt_copy_text(load->bare, strlen(load->bare));
    if (!job->set[0].file[0])
        return BT_ENOMEM;
    return bt_set_read(load, &job->set[0], &plan);
}

static enum bt_status load_all(struct bt_load *load, const char *path)
{
    if (find_folder(load, path) != BT_OK)
        return BT_OK;
    if (start_texts(load) != BT_OK)
        return BT_ENOMEM;
    return load->bare ? read_bare(load) : read_job(load);
}

enum bt_status bt_job_load(const char *path, const struct bt_load_options *options,
                           struct bt_job *job, struct bt_faults *faults)
{
    static const struct bt_load_options everything = {
        .length = NAN, .width = NAN, .look_closely = true};
    struct bt_faults own = {0};
    struct bt_load load = {.options = options ? options : &everything,
                           .job = job,
                           .faults = faults ? faults : &own};
    enum bt_status status;

    load.faults_before = load.faults->n;
    set_unstated(job);
    for (size_t i = 0; i < load.options->nwithout; i++)
        load.options->without[i].found = false;
    status = load_all(&load, path);
    /* Not every step that finds no memory can say so. */
    if (status == BT_ENOMEM && load.faults->n == load.faults_before)
        bt_fault_add(load.faults, BT_ENOMEM, path, 0, 0, "%s",
                     bt_status_text(BT_ENOMEM));
    if (load.faults->lost)
        status = BT_ENOMEM;
    else if (status == BT_OK && load.faults->n > load.faults_before)
        status = load.faults->item[load.faults_before].code;
    job->note = load.notes.item;
    job->nnote = load.notes.n;
    bt_lines_clear(&load.lines);
    bt_free(load.plan);
    bt_faults_clear(&own);
    return status;
}
