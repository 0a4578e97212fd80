/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A program of your own with libbenchtrue: reads a job and says of each limit whether
 * the panel keeps it.
 *
 *     cc verdict.c $(pkg-config --cflags --libs benchtrue) -o verdict
 *     ./verdict FOLDER
 *
 * Ends with 0 (within), 1 (over), 2 (too close to call or not seen), 65 (the files hold
 * a fault), as benchtrue itself does.
 */
#include <stdio.h>

#include <benchtrue/ingest/job.h>
#include <benchtrue/report/result.h>
#include <benchtrue/surface/gsl_errors.h>

/* Every fault of every file: the maker mends them all at once. */
static void print_faults(const struct bt_faults *faults)
{
    for (size_t i = 0; i < faults->n; i++) {
        const struct bt_fault *fault = &faults->item[i];

        fprintf(stderr, "%s:%zu:%zu: %s\n", fault->file, fault->line, fault->column,
                fault->message);
    }
}

/* Lengths inside the library are in mm; what is not seen is NaN. */
static void print_limits(const struct bt_set_result *result)
{
    for (size_t i = 0; i < result->njudgement; i++) {
        const struct bt_judgement *j = &result->judgement[i];

        printf("%s: %s", bt_figure_name(j->figure), bt_verdict_text(j->verdict));
        if (j->verdict != BT_NOT_SEEN)
            printf(" (%.2f mm, u %.2f mm, limit %.2f mm)", j->value, j->u, j->limit);
        printf("\n");
    }
}

static int status_of(enum bt_verdict verdict)
{
    if (verdict == BT_WITHIN)
        return 0;
    return verdict == BT_OVER ? 1 : 2;
}

/* The latest set of readings, adjusted and judged. */
static int judge(const struct bt_job *job)
{
    const size_t latest = bt_job_latest(job);
    struct bt_set_result result = {0};
    struct bt_error err;
    int status = 65;

    if (latest == job->nset) {
        fprintf(stderr, "no readings are named in job.ini\n");
    } else if (bt_set_evaluate(job, &job->set[latest], NULL, &result, &err) != BT_OK) {
        fprintf(stderr, "%s: %s\n", job->set[latest].name, err.message);
    } else {
        const enum bt_verdict verdict = bt_set_verdict(&result);

        printf("%s, %s: %s\n", job->title, job->set[latest].name,
               bt_verdict_text(verdict));
        print_limits(&result);
        status = status_of(verdict);
    }
    bt_set_result_clear(&result);
    return status;
}

int main(int argc, char *argv[])
{
    struct bt_job job;
    struct bt_faults faults = {0};
    int status = 65;

    if (argc != 2) {
        fprintf(stderr, "usage: verdict FOLDER\n");
        return 64;
    }
    bt_gsl_errors_off();
    if (bt_job_load(argv[1], NULL, &job, &faults) == BT_OK)
        status = judge(&job);
    else
        print_faults(&faults);
    bt_job_clear(&job);
    bt_faults_clear(&faults);
    return status;
}
