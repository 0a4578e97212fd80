/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/verb_job.h"

#include <math.h>
#include <string.h>
#include <sys/stat.h>

#include "app/progress.h"
#include "app/say.h"
#include "benchtrue/report/save.h"

/* A file that is there and is no job.ini: readings, most likely. */
static bool is_other_file(const char *path)
{
    const char *slash = strrchr(path, '/');
    struct stat about;

    return strcmp(slash ? slash + 1 : path, "job.ini") != 0 &&
           stat(path, &about) == 0 && S_ISREG(about.st_mode);
}

static enum exit_code needs_folder(const struct options *options)
{
    return say(EXIT_USAGE,
               "%s needs the folder of a job, the one that holds job.ini, not a file: "
               "'%s'",
               options->verb->name, options->argument);
}

enum exit_code verb_job_load(const struct options *options, bool all_sets,
                             struct bt_job *job)
{
    struct bt_faults faults = {0};
    struct progress progress;
    const struct bt_load_options what = {.length = NAN,
                                         .width = NAN,
                                         .latest_only = !all_sets,
                                         .progress = progress_read,
                                         .progress_user = &progress};
    enum exit_code code = EXIT_DONE;
    enum bt_status status;

    bt_job_init(job);
    if (is_other_file(options->argument))
        return needs_folder(options);
    progress_start(&progress);
    status = bt_job_load(options->argument, &what, job, &faults);
    progress_end(&progress);
    if (status != BT_OK)
        code = say_faults(&faults);
    else if (!*job->folder)
        code = needs_folder(options);
    else if (options->system_typed)
        job->system = options->system;
    bt_faults_clear(&faults);
    return code;
}

enum exit_code verb_job_failed(const struct options *options, enum bt_status status,
                               const struct bt_error *err)
{
    return say(exit_for(status), "%s: %s", options->argument, err->message);
}

struct bt_text_options verb_text_options(const struct options *options,
                                         const struct bt_job *job)
{
    return (struct bt_text_options){
        .system = job->system, .details = options->details, .colour = say_in_colour()};
}

enum exit_code verb_exit(enum bt_verdict verdict)
{
    switch (verdict) {
    case BT_WITHIN:
        return EXIT_DONE;
    case BT_OVER:
        return EXIT_OVER;
    case BT_TOO_CLOSE:
    case BT_NOT_SEEN:
        break;
    }
    return EXIT_OPEN;
}

enum exit_code verb_figure_check(const struct options *options)
{
    enum bt_figure_format format;
    struct bt_error err;

    if (options->figure && bt_figure_format_of(options->figure, &format, &err) != BT_OK)
        return say(EXIT_USAGE, "--figure %s: %s", options->figure, err.message);
    return EXIT_DONE;
}

enum exit_code verb_figure_save(const struct options *options, enum bt_status status,
                                const struct bt_error *err,
                                struct bt_figure_bytes *bytes)
{
    enum exit_code code = EXIT_DONE;
    struct bt_error why;

    if (status != BT_OK) {
        code = say(exit_for(status), "--figure: %s", err->message);
    } else {
        status = bt_save_file(options->figure, (const char *)bytes->bytes,
                              bytes->length, &why);
        if (status != BT_OK)
            code = say_error(status, why.message);
    }
    bt_figure_bytes_clear(bytes);
    bt_figure_teardown();
    return code;
}

enum exit_code verb_paper(const struct options *options, enum bt_paper *paper)
{
    const char *text = options->paper;

    if (!text || strcmp(text, "a4") == 0)
        *paper = BT_PAPER_A4;
    else if (strcmp(text, "letter") == 0)
        *paper = BT_PAPER_LETTER;
    else
        return say(EXIT_USAGE, "--paper: no such paper: '%s', there are a4 and letter",
                   text);
    return EXIT_DONE;
}

enum exit_code verb_file_save(const struct options *options, const char *path,
                              enum bt_status status, const struct bt_error *err,
                              struct bt_figure_bytes *bytes)
{
    enum exit_code code = EXIT_DONE;
    struct bt_error why;

    if (status != BT_OK) {
        code = verb_job_failed(options, status, err);
    } else {
        status = bt_save_file(path, (const char *)bytes->bytes, bytes->length, &why);
        if (status != BT_OK)
            code = say_error(status, why.message);
    }
    bt_figure_bytes_clear(bytes);
    bt_figure_teardown();
    return code;
}

enum exit_code verb_output_save(const struct options *options, enum bt_status status,
                                const struct bt_error *err,
                                struct bt_figure_bytes *bytes)
{
    return verb_file_save(options, options->output, status, err, bytes);
}
