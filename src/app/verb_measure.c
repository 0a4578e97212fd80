/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>
#include <strings.h>
#include <unistd.h>

#include "app/verb_job.h"
#include "app/lengths.h"
#include "app/say.h"
#include "benchtrue/base/alloc.h"
#include "benchtrue/base/nearest.h"
#include "benchtrue/base/quantity.h"
#include "benchtrue/draw/figure_plan.h"
#include "benchtrue/ingest/csv.h"
#include "benchtrue/report/measure_result.h"
#include "benchtrue/report/save.h"

enum { AIMS = 3 };
static const char *const aim_names[AIMS] = {"cup", "bow", "twist"};

/* ---- --aim ---- */

static enum exit_code refuse_figure(const char *name, size_t length)
{
    const char *nearest = bt_nearest(name, length, AIMS, aim_names);

    return say(EXIT_USAGE, "--aim: no such figure: '%.*s', %s%s%s", (int)length, name,
               nearest ? "did you mean " : "there are cup, bow and twist",
               nearest ? nearest : "", nearest ? "?" : "");
}

/* `cup=0.1mm`, of length bytes. */
static enum exit_code read_aim(const char *text, size_t length,
                               const struct options *options, double aim[AIMS])
{
    const char *equals = memchr(text, '=', length);
    const size_t name = equals ? (size_t)(equals - text) : length;
    char value[64];
    size_t rest, k = 0;

    if (!equals || name == 0 || name + 1 == length)
        return say(EXIT_USAGE,
                   "--aim needs FIGURE=U, as cup=0.1mm,twist=0.2mm, not '%.*s'",
                   (int)length, text);
    while (k < AIMS &&
           !(strlen(aim_names[k]) == name && memcmp(aim_names[k], text, name) == 0))
        k++;
    if (k == AIMS)
        return refuse_figure(text, name);
    if (!isnan(aim[k]))
        return say(EXIT_USAGE, "--aim: %s is given twice", aim_names[k]);
    rest = length - name - 1;
    if (rest >= sizeof value)
        return say(EXIT_USAGE, "--aim: %s: not a length: '%.*s'", aim_names[k],
                   (int)rest, equals + 1);
    memcpy(value, equals + 1, rest);
    value[rest] = '\0';
    return read_length("--aim", value, options, &aim[k], NULL);
}

static enum exit_code read_aims(const struct options *options, double aim[AIMS])
{
    const char *text = options->aim;
    enum exit_code code = EXIT_DONE;

    aim[0] = aim[1] = aim[2] = NAN;
    while (text && code == EXIT_DONE) {
        const size_t length = strcspn(text, ",");
        code = read_aim(text, length, options, aim);
        text = text[length] ? text + length + 1 : NULL;
    }
    return code;
}

static enum exit_code read_request(const struct options *options,
                                   struct bt_measure_request *request)
{
    enum exit_code code = read_aims(options, request->aim);

    request->afresh = options->afresh;
    if (code == EXIT_DONE)
        code = read_length("--edge", options->edge, options, &request->edge, NULL);
    if (code == EXIT_DONE)
        code = read_length("--feet", options->feet, options, &request->feet, NULL);
    return code;
}

/* ---- --csv ---- */

static bool has_kind(const struct bt_measure_answer *answer, int kind)
{
    for (size_t k = 0; k < answer->plan.nstep; k++)
        if (answer->plan.step[k].kind == (enum bt_plan_kind)kind)
            return true;
    return false;
}

/* One file for each kind of reading: FILE, and where there are several FILE with the
 * kind before its ending. */
static void name_file(const struct options *options,
                      const struct bt_measure_answer *answer, int kind,
                      struct bt_buffer *path)
{
    static const char *const suffix[BT_PLAN_KINDS] = {"-lines", "-setups", "-bar",
                                                      "-level", "-sticks"};
    const size_t length = strlen(options->csv);
    const bool ends = length > 4 && strcmp(options->csv + length - 4, ".csv") == 0;
    size_t kinds = 0;

    for (int k = 0; k < BT_PLAN_KINDS; k++)
        kinds += has_kind(answer, k);
    bt_buffer_add(path, options->csv, ends ? length - 4 : length);
    if (kinds > 1)
        bt_buffer_text(path, suffix[kind]);
    if (ends)
        bt_buffer_text(path, ".csv");
}

/* `gap`, `gap_mm`, `Gap (in)`: the column of a reading, by how it begins. */
static bool is_reading(const struct bt_cell *head)
{
    static const char *const names[] = {"gap", "height", "rise", "slope", "wind", "z"};

    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        const size_t length = strlen(names[i]);
        if (head->length >= length && strncasecmp(head->text, names[i], length) == 0 &&
            (head->length == length || strchr("_ (", head->text[length])))
            return true;
    }
    return false;
}

static bool rows_blank(const struct bt_table *table)
{
    bool any = false;

    for (size_t c = 0; table->nrecord && c < table->record[0].n; c++) {
        if (!is_reading(&table->record[0].cell[c]))
            continue;
        any = true;
        for (size_t i = 1; i < table->nrecord; i++)
            if (table->record[i].cell[c].length)
                return false;
    }
    return any;
}

/* A table of readings in which none is written yet, as `new` leaves one.  What cannot
 * be read as one may be anything. */
static bool is_blank(const char *path)
{
    struct bt_faults faults = {0};
    struct bt_table table;
    const bool blank =
        bt_table_read(path, path, &table, &faults) == BT_OK && rows_blank(&table);

    bt_table_clear(&table);
    bt_faults_clear(&faults);
    return blank;
}

/* Readings that someone took must not be written over. */
static enum exit_code write_rows(const struct bt_measure_answer *answer, int kind,
                                 const char *path)
{
    struct bt_buffer rows = {0};
    struct bt_error err = {0};
    enum bt_status status;

    if (access(path, F_OK) == 0 && !is_blank(path))
        return say(EXIT_CANTCREAT,
                   "--csv: '%s' may hold readings already: name another file", path);
    status = bt_measure_csv(answer, (enum bt_plan_kind)kind, &rows);
    if (status == BT_OK)
        status = bt_save_file(path, rows.text, rows.length, &err);
    else
        bt_error_set(&err, status, 0, 0, "%s", bt_status_text(status));
    bt_buffer_clear(&rows);
    return status == BT_OK ? EXIT_DONE : say_error(status, err.message);
}

/* Write them; what is said of them is added to out. */
static enum exit_code write_csv(const struct options *options,
                                const struct bt_measure_answer *answer,
                                struct bt_buffer *out)
{
    enum exit_code code = EXIT_DONE;

    for (int kind = 0; kind < BT_PLAN_KINDS && code == EXIT_DONE; kind++) {
        struct bt_buffer path = {0};
        if (!has_kind(answer, kind))
            continue;
        name_file(options, answer, kind, &path);
        code = path.failed ? say_error(BT_ENOMEM, bt_status_text(BT_ENOMEM))
                           : write_rows(answer, kind, path.text);
        if (code == EXIT_DONE) {
            bt_buffer_text(out, "Rows to fill in: ");
            bt_buffer_name(out, path.text);
            bt_buffer_text(out, "\n");
        }
        bt_buffer_clear(&path);
    }
    return code;
}

/* ---- the answer ---- */

static enum exit_code draw_named(const struct options *options,
                                 const struct bt_measure_answer *answer,
                                 const char *const name[])
{
    const struct bt_point support[2] = {{answer->support[0], 0},
                                        {answer->support[1], 0}};
    const struct bt_plan_figure_input input = {
        .job = answer->job,
        .request = &answer->request,
        .plan = &answer->plan,
        .name = name,
        .support = answer->supports_known ? support : NULL};
    struct bt_figure_bytes bytes = {0};
    enum bt_figure_format format;
    struct bt_error err = {0};
    enum bt_status status = bt_figure_format_of(options->figure, &format, &err);

    if (status == BT_OK)
        status = bt_figure_plan(&input, format, &bytes, &err);
    return verb_figure_save(options, status, &err, &bytes);
}

static enum exit_code draw(const struct options *options,
                           const struct bt_measure_answer *answer)
{
    const size_t n = answer->plan.nstep;
    struct bt_buffer *text = bt_alloc(n, sizeof *text);
    const char **name = bt_alloc(n, sizeof *name);
    enum exit_code code = EXIT_DONE;

    for (size_t k = 0; text && name && k < n && code == EXIT_DONE; k++) {
        bt_measure_step_name(answer, k, &text[k]);
        name[k] = text[k].text;
        if (text[k].failed)
            code = say_error(BT_ENOMEM, bt_status_text(BT_ENOMEM));
    }
    if (!text || !name)
        code = say_error(BT_ENOMEM, bt_status_text(BT_ENOMEM));
    if (code == EXIT_DONE)
        code = draw_named(options, answer, name);
    for (size_t k = 0; text && k < n; k++)
        bt_buffer_clear(&text[k]);
    bt_free(text);
    bt_free(name);
    return code;
}

static enum exit_code answer_it(const struct options *options, const struct bt_job *job,
                                const struct bt_measure_request *request)
{
    const struct bt_text_options text = verb_text_options(options, job);
    struct bt_measure_answer answer = {0};
    struct bt_buffer out = {0}, written = {0};
    struct bt_error err = {0};
    enum bt_status status = bt_measure_answer_find(job, request, &answer, &err);
    enum exit_code code = EXIT_DONE;

    if (status != BT_OK)
        code = verb_job_failed(options, status, &err);
    if (code == EXIT_DONE && options->csv)
        code = write_csv(options, &answer, &written);
    if (code == EXIT_DONE && options->figure)
        code = draw(options, &answer);
    if (code == EXIT_DONE) {
        if ((options->json ? bt_json_measure(&answer, &out)
                           : bt_text_measure(&answer, &text, &out)) != BT_OK)
            out.failed = true;
        if (!options->json && written.length)
            bt_buffer_add(&out, written.text, written.length);
        code = print_result(&out,
                            bt_measure_answer_reached(&answer) ? EXIT_DONE : EXIT_OPEN);
    }
    bt_buffer_clear(&out);
    bt_buffer_clear(&written);
    bt_measure_answer_clear(&answer);
    return code;
}

enum exit_code run_measure(struct options *options)
{
    struct bt_measure_request request;
    struct bt_job job = {0};
    enum exit_code code = verb_figure_check(options);

    if (code == EXIT_DONE)
        code = read_request(options, &request);
    if (code == EXIT_DONE)
        code = verb_job_load(options, false, &job);
    if (code == EXIT_DONE)
        code = answer_it(options, &job, &request);
    bt_job_clear(&job);
    return code;
}
