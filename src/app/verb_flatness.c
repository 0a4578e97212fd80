/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "app/figures.h"
#include "app/lengths.h"
#include "app/options.h"
#include "app/progress.h"
#include "app/say.h"
#include "app/uses.h"
#include "benchtrue/base/alloc.h"
#include "benchtrue/base/quantity.h"
#include "benchtrue/ingest/job.h"
#include "benchtrue/report/json.h"
#include "benchtrue/report/text.h"

/* Everything that one run holds, so that one exit frees it. */
struct run {
    struct progress progress;
    struct bt_faults faults;
    struct bt_job job;
    size_t n;                     /* sets to report */
    struct bt_set_result *result; /* [n] */
    struct bt_buffer out;
};

static void run_clear(struct run *run)
{
    for (size_t i = 0; i < run->n; i++)
        bt_set_result_clear(&run->result[i]);
    bt_free(run->result);
    bt_buffer_clear(&run->out);
    bt_job_clear(&run->job);
    bt_faults_clear(&run->faults);
}

static enum exit_code limits_of_use(struct run *run, const char *use)
{
    struct bt_limits *limits = &run->job.limits;
    const struct bt_band *band;
    enum exit_code code = find_use(use, &band);

    if (code != EXIT_DONE)
        return code;
    for (int i = 0; i < BT_FIGURE_COUNT; i++)
        limits->limit[i] = band->limit[i];
    strncpy(limits->use, band->use, sizeof limits->use - 1);
    return EXIT_DONE;
}

static enum exit_code load(struct run *run, const struct options *options)
{
    struct bt_load_options what = {.only_set = options->set,
                                   .latest_only = !options->all && !options->set,
                                   .blank_is_fault = true,
                                   .nwithout = options->nwithout,
                                   .without = options->without,
                                   .progress = progress_read,
                                   .progress_user = &run->progress};
    enum bt_status status;
    enum exit_code code =
        read_length("--length", options->length, options, &what.length, NULL);

    if (code == EXIT_DONE)
        code = read_length("--width", options->width, options, &what.width, NULL);
    if (code != EXIT_DONE)
        return code;
    status = bt_job_load(options->argument, &what, &run->job, &run->faults);
    progress_end(&run->progress);
    if (status != BT_OK)
        return say_faults(&run->faults);
    if ((options->length || options->width) && *run->job.folder)
        return say(EXIT_USAGE,
                   "--length and --width are for a bare file of readings; this job "
                   "states its size in job.ini");
    if (options->use && *run->job.folder)
        return say(EXIT_USAGE,
                   "--use is for a bare file of readings; this job states its "
                   "limits in job.ini");
    if (options->use) {
        code = limits_of_use(run, options->use);
        if (code != EXIT_DONE)
            return code;
    }
    for (size_t i = 0; i < options->nwithout; i++)
        if (!options->without[i].found)
            return say(EXIT_USAGE,
                       "--without: no reading that is reported stands at %s:%zu",
                       options->without[i].file, options->without[i].line);
    if (run->job.nset == 0)
        return say(EXIT_DATA, "%s: no set of readings is named in job.ini",
                   options->argument);
    return EXIT_DONE;
}

static enum exit_code read_spans(const struct options *options,
                                 double span[BT_SPANS_MAX])
{
    for (size_t i = 0; i < options->nspan; i++) {
        enum exit_code code =
            read_length("--span", options->span[i], options, &span[i], NULL);
        if (code != EXIT_DONE)
            return code;
    }
    return EXIT_DONE;
}

/* 1e-9: 90 deg in rad and back. */
static enum exit_code read_directions(const struct options *options,
                                      double direction[BT_OBLIQUES_MAX])
{
    for (size_t i = 0; i < options->ndirection; i++) {
        const char *text = options->direction[i];
        struct bt_quantity angle;
        struct bt_error err;
        double degree;

        if (bt_quantity_parse(text, strlen(text), BT_DIM_ANGLE, BT_UNIT_DEG, false,
                              &angle, &err) != BT_OK)
            return say(EXIT_USAGE, "--direction: %s", err.message);
        degree = bt_unit_from_inside(angle.value, BT_UNIT_DEG);
        if (!(degree > -90 + 1e-9) || !(degree <= 90 + 1e-9))
            return say(EXIT_USAGE,
                       "--direction is more than -90 deg and at most 90 deg from the "
                       "grain, not '%s'",
                       text);
        direction[i] = angle.value;
    }
    return EXIT_DONE;
}

static enum exit_code evaluate(struct run *run, const struct options *options,
                               const struct bt_set_request *request)
{
    size_t first = options->all ? 0 : bt_job_latest(&run->job);
    size_t n = options->all ? run->job.nset : 1;

    run->result = bt_alloc(n, sizeof *run->result);
    if (!run->result)
        return say_error(BT_ENOMEM, bt_status_text(BT_ENOMEM));
    progress_say(&run->progress, "working out the figures");
    for (; run->n < n;) {
        const struct bt_set *set = &run->job.set[first + run->n];
        struct bt_error err;
        enum bt_status status =
            bt_set_evaluate(&run->job, set, request, &run->result[run->n++], &err);

        if (status != BT_OK || run->n == n)
            progress_end(&run->progress);
        if (status == BT_ECALL)
            return say(EXIT_USAGE, "--span: %s, that of the local limit among them",
                       err.message);
        if (status != BT_OK)
            return say(exit_for(status), "%s: %s",
                       set->nfile ? set->file[0] : set->name, err.message);
    }
    return EXIT_DONE;
}

/* Colour on a terminal only, and not where NO_COLOR says no or TERM is dumb. */
static bool colour_wanted(void)
{
    const char *no = getenv("NO_COLOR"), *term = getenv("TERM");

    return isatty(STDOUT_FILENO) && !(no && *no) && term && strcmp(term, "dumb") != 0;
}

static void write_out(struct run *run, const struct options *options)
{
    struct bt_text_options text = {.system = run->job.system,
                                   .details = options->details,
                                   .colour = colour_wanted(),
                                   .nset = run->job.nset_named,
                                   .chosen = options->set || options->all};

    if (options->json) {
        if (bt_json_flatness(run->n, run->result, options->all, &run->out) != BT_OK)
            run->out.failed = true;
        return;
    }
    for (size_t i = 0; i < run->n; i++) {
        bt_buffer_text(&run->out, i ? "\n\n" : "");
        bt_text_flatness(&run->result[i], &text, &run->out);
    }
}

/* Over outranks what is open. */
static enum exit_code code_for(const struct run *run)
{
    enum exit_code code = EXIT_DONE;

    for (size_t i = 0; i < run->n; i++) {
        enum bt_verdict verdict = bt_set_verdict(&run->result[i]);

        if (verdict == BT_OVER)
            return EXIT_OVER;
        if (verdict != BT_WITHIN)
            code = EXIT_OPEN;
    }
    return code;
}

enum exit_code run_flatness(struct options *options)
{
    struct run run = {0};
    double span[BT_SPANS_MAX], direction[BT_OBLIQUES_MAX];
    const struct bt_set_request request = {.nspan = options->nspan,
                                           .span = span,
                                           .ndirection = options->ndirection,
                                           .direction = direction,
                                           .seed = options->seed,
                                           .draws = options->draws};
    enum exit_code code = check_figures(options);

    progress_start(&run.progress);
    bt_job_init(&run.job);
    if (code == EXIT_DONE)
        code = read_spans(options, span);
    if (code == EXIT_DONE)
        code = read_directions(options, direction);
    if (code == EXIT_DONE)
        code = load(&run, options);
    if (options->system_typed)
        run.job.system = options->system;
    if (code == EXIT_DONE)
        code = evaluate(&run, options, &request);
    if (code == EXIT_DONE && run.n == 1)
        code = write_figures(options, &run.result[0]);
    if (code == EXIT_DONE) {
        write_out(&run, options);
        code = print_result(&run.out, code_for(&run));
    }
    run_clear(&run);
    return code;
}
