/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "app/verb_job.h"
#include "app/say.h"
#include "benchtrue/base/alloc.h"
#include "benchtrue/base/nearest.h"
#include "benchtrue/report/decide_result.h"

static enum exit_code unknown_set(const struct bt_job *job, const char *name)
{
    const char **names = bt_alloc(job->nset, sizeof *names);
    const char *nearest;

    if (!names)
        return say_error(BT_ENOMEM, bt_status_text(BT_ENOMEM));
    for (size_t i = 0; i < job->nset; i++)
        names[i] = job->set[i].name;
    nearest = bt_nearest(name, strlen(name), job->nset, names);
    bt_free(names);
    if (nearest)
        return say(EXIT_USAGE, "--set: no such set: '%s', did you mean %s?", name,
                   nearest);
    return say(EXIT_USAGE, "--set: no such set: '%s'; benchtrue check names them all",
               name);
}

/* All sets are read, for the trend; one is decided by. */
static enum exit_code choose(const struct options *options, const struct bt_job *job,
                             const struct bt_set **set)
{
    size_t i = 0;

    if (job->nset == 0)
        return say(EXIT_DATA, "%s: there is no set of readings to decide by",
                   options->argument);
    if (!options->set) {
        *set = &job->set[bt_job_latest(job)];
        return EXIT_DONE;
    }
    while (i < job->nset && strcmp(job->set[i].name, options->set) != 0)
        i++;
    if (i == job->nset)
        return unknown_set(job, options->set);
    *set = &job->set[i];
    return EXIT_DONE;
}

static enum exit_code draw(const struct options *options,
                           const struct bt_decide_answer *answer)
{
    struct bt_figure_bytes bytes = {0};
    struct bt_error err = {0};
    enum bt_figure_format format;
    enum bt_status status;

    if (!options->figure)
        return EXIT_DONE;
    /* The verdict is worth having all the same. */
    if (!answer->map_known)
        return say(EXIT_DONE, "--figure: nothing is drawn: no choice that takes off "
                              "wood is possible");
    status = bt_figure_format_of(options->figure, &format, &err);
    if (status == BT_OK)
        status = bt_decide_draw(answer, format, &bytes, &err);
    return verb_figure_save(options, status, &err, &bytes);
}

static enum exit_code answer_it(const struct options *options, const struct bt_job *job,
                                const struct bt_set *set)
{
    const struct bt_text_options text = verb_text_options(options, job);
    struct bt_decide_answer answer = {0};
    struct bt_buffer out = {0};
    struct bt_error err = {0};
    enum bt_status status = bt_decide_answer_find(job, set, &answer, &err);
    enum exit_code code;

    if (status != BT_OK)
        code = verb_job_failed(options, status, &err);
    else
        code = draw(options, &answer);
    if (code == EXIT_DONE) {
        if ((options->json ? bt_json_decide(&answer, &out)
                           : bt_text_decide(&answer, &text, &out)) != BT_OK)
            out.failed = true;
        code = print_result(&out, verb_exit(bt_decide_answer_verdict(&answer)));
    }
    bt_buffer_clear(&out);
    bt_decide_answer_clear(&answer);
    return code;
}

enum exit_code run_decide(struct options *options)
{
    struct bt_job job = {0};
    const struct bt_set *set = NULL;
    enum exit_code code = verb_figure_check(options);

    if (code == EXIT_DONE)
        code = verb_job_load(options, true, &job);
    if (code == EXIT_DONE)
        code = choose(options, &job, &set);
    if (code == EXIT_DONE)
        code = answer_it(options, &job, set);
    bt_job_clear(&job);
    return code;
}
