/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What each verb is told to do; help, the command line and the man pages read it. */
#include "app/verbs.h"

#include <string.h>

#include "benchtrue/base/nearest.h"

/* What exit statuses mean that verbs have in common. */
static const char usage[] = "the command line is wrong";
static const char no_file[] = "a file does not exist or may not be read";
static const char ours[] = "no memory, or a fault of this program";
static const char no_figure[] = "a figure cannot be created";
static const char broken[] = "reading or writing failed";

static const struct verb_status flatness_statuses[] = {
    {EXIT_DONE, "no limit is stated, or every one is kept"},
    {EXIT_OVER, "a limit is over"},
    {EXIT_OPEN,
     "a limit is too close to call, its figure is not seen, or the readings disagree"},
    {EXIT_USAGE, usage},
    {EXIT_DATA, "a file holds a fault, or the readings do not make a surface"},
    {EXIT_NOINPUT, no_file},
    {EXIT_SOFTWARE, ours},
    {EXIT_CANTCREAT, no_figure},
    {EXIT_IOERR, broken},
    {EXIT_DONE, NULL}};

static const struct verb_status fence_statuses[] = {
    {EXIT_DONE, "the cup that the planned pattern makes is within the job's limit; "
                "without limit or boards: the checks show how far the fence is out"},
    {EXIT_OVER, "that cup is over the limit"},
    {EXIT_OPEN,
     "it is too close to call, the checks contradict each other, or (without limit or "
     "boards) they cannot tell the fence from a square one"},
    {EXIT_USAGE, usage},
    {EXIT_DATA, "a file holds a fault, or there is no check of the fence"},
    {EXIT_NOINPUT, no_file},
    {EXIT_SOFTWARE, ours},
    {EXIT_IOERR, broken},
    {EXIT_DONE, NULL}};

static const struct verb_status edges_statuses[] = {
    {EXIT_DONE, "cup and openings are within their limits, dry joints close"},
    {EXIT_OVER,
     "the planned cup is over the job's limit, a joint opens more than the glue "
     "bridges, a dry joint is open, or the pattern breaks a rule of boards.csv"},
    {EXIT_OPEN, "one of these is too close to call or not seen"},
    {EXIT_USAGE, usage},
    {EXIT_DATA, "a file holds a fault, or the rules leave a board no way to be run"},
    {EXIT_NOINPUT, no_file},
    {EXIT_SOFTWARE, ours},
    {EXIT_CANTCREAT, no_figure},
    {EXIT_IOERR, broken},
    {EXIT_DONE, NULL}};

static const struct verb_status glueup_statuses[] = {
    {EXIT_DONE, "clamps and open time are enough, the glue bridges the openings"},
    {EXIT_OVER, "clamps fall short, the open time is too short for one joint, the shop "
                "is too cold, or a joint opens more than the glue bridges"},
    {EXIT_OPEN,
     "the job states no clamps or no glue, or an opening is too close to call"},
    {EXIT_USAGE, usage},
    {EXIT_DATA, "a file holds a fault, or does not hold what a glue-up needs"},
    {EXIT_NOINPUT, no_file},
    {EXIT_SOFTWARE, ours},
    {EXIT_CANTCREAT, no_figure},
    {EXIT_IOERR, broken},
    {EXIT_DONE, NULL}};

static const struct verb_status layout_statuses[] = {
    {EXIT_DONE, "a layout keeps every rule, and every cut-out its distances"},
    {EXIT_OVER,
     "the boards are too few or too narrow, no layout keeps every rule, or a "
     "cut-out is too near to something: it says what to give up"},
    {EXIT_OPEN, "none was found, but with so many boards not all could be tried"},
    {EXIT_USAGE, usage},
    {EXIT_DATA,
     "a file holds a fault, or does not hold boards and the size of the piece"},
    {EXIT_NOINPUT, no_file},
    {EXIT_SOFTWARE, ours},
    {EXIT_CANTCREAT, no_figure},
    {EXIT_IOERR, broken},
    {EXIT_DONE, NULL}};

static const struct verb_status check_statuses[] = {
    {EXIT_DONE, "no fault"}, {EXIT_USAGE, usage},   {EXIT_DATA, "a file holds a fault"},
    {EXIT_NOINPUT, no_file}, {EXIT_SOFTWARE, ours}, {EXIT_IOERR, broken},
    {EXIT_DONE, NULL}};

static const struct verb_status new_statuses[] = {
    {EXIT_DONE, "the files are written"},
    {EXIT_USAGE, usage},
    {EXIT_SOFTWARE, ours},
    {EXIT_CANTCREAT, "the folder cannot be made, or is not empty"},
    {EXIT_IOERR, "writing failed"},
    {EXIT_DONE, NULL}};

static const struct verb_status trend_statuses[] = {
    {EXIT_DONE, "settled: no figure changed by what matters"},
    {EXIT_OVER, "a figure moved"},
    {EXIT_OPEN, "it cannot be told"},
    {EXIT_USAGE, usage},
    {EXIT_DATA, "a file holds a fault, or there are not two sets to compare"},
    {EXIT_NOINPUT, no_file},
    {EXIT_SOFTWARE, ours},
    {EXIT_CANTCREAT, no_figure},
    {EXIT_IOERR, broken},
    {EXIT_DONE, NULL}};

static const struct verb_status decide_statuses[] = {
    {EXIT_DONE, "leave it: every limit holds"},
    {EXIT_OVER, "a limit is over and something is to be done: it says what"},
    {EXIT_OPEN, "it cannot be told: no limits, one is too close to call or not seen, "
                "or nothing can be said to work"},
    {EXIT_USAGE, usage},
    {EXIT_DATA, "a file holds a fault, or the readings do not make a surface"},
    {EXIT_NOINPUT, no_file},
    {EXIT_SOFTWARE, ours},
    {EXIT_CANTCREAT, no_figure},
    {EXIT_IOERR, broken},
    {EXIT_DONE, NULL}};

static const struct verb_status measure_statuses[] = {
    {EXIT_DONE, "every figure can be known as well as is wanted"},
    {EXIT_OPEN,
     "one cannot with the instruments that the job names; the plan comes near"},
    {EXIT_USAGE, usage},
    {EXIT_DATA, "a file holds a fault, or the size of the panel is not stated"},
    {EXIT_NOINPUT, no_file},
    {EXIT_SOFTWARE, ours},
    {EXIT_CANTCREAT, "a figure or the rows cannot be created"},
    {EXIT_IOERR, broken},
    {EXIT_DONE, NULL}};

static const struct verb_status sheet_statuses[] = {
    {EXIT_DONE, "the sheets are written"},
    {EXIT_USAGE, usage},
    {EXIT_DATA, "a file holds a fault, or states too little for a sheet"},
    {EXIT_NOINPUT, no_file},
    {EXIT_SOFTWARE, ours},
    {EXIT_CANTCREAT, "the file cannot be created"},
    {EXIT_IOERR, broken},
    {EXIT_DONE, NULL}};

static const struct verb_status movement_statuses[] = {
    {EXIT_DONE, "every fixing lets the panel go, or there is none to be judged"},
    {EXIT_OVER, "a fixing, an end or a joint gives less than the panel moves, a screw "
                "holds less than its load, or two fixings hold the panel between them"},
    {EXIT_OPEN, "one of these is too close to call, or how far it goes is not known"},
    {EXIT_USAGE, usage},
    {EXIT_DATA, "a file holds a fault, or climate, width or species are not stated"},
    {EXIT_NOINPUT, no_file},
    {EXIT_SOFTWARE, ours},
    {EXIT_CANTCREAT, no_figure},
    {EXIT_IOERR, broken},
    {EXIT_DONE, NULL}};

static const struct verb_status opening_statuses[] = {
    {EXIT_DONE, "it fits, and there is a way in"},
    {EXIT_OVER,
     "no way in, a joint too small, a panel too small, or more to scribe than "
     "is allowed"},
    {EXIT_OPEN, "the readings leave the shape free or contradict each other, or the "
                "headroom is not stated"},
    {EXIT_USAGE, usage},
    {EXIT_DATA, "a file holds a fault, or there is no reading of the opening"},
    {EXIT_NOINPUT, no_file},
    {EXIT_SOFTWARE, ours},
    {EXIT_CANTCREAT, no_figure},
    {EXIT_IOERR, broken},
    {EXIT_DONE, NULL}};

static const struct verb_status report_statuses[] = {
    {EXIT_DONE, "the document is written, whatever it says"},
    {EXIT_USAGE, usage},
    {EXIT_DATA, "a file holds a fault"},
    {EXIT_NOINPUT, no_file},
    {EXIT_SOFTWARE, ours},
    {EXIT_CANTCREAT, "the document cannot be created"},
    {EXIT_IOERR, broken},
    {EXIT_DONE, NULL}};

static const struct verb_status stock_statuses[] = {
    {EXIT_DONE, "every board makes the wanted thickness, or none is stated"},
    {EXIT_OVER,
     "a board does not make it as planned, or gives no strip of the width to be "
     "ripped"},
    {EXIT_OPEN, "one is too close to call, or its cup, bow or twist was not read"},
    {EXIT_USAGE, usage},
    {EXIT_DATA, "a file holds a fault, or there is no rough board"},
    {EXIT_NOINPUT, no_file},
    {EXIT_SOFTWARE, ours},
    {EXIT_CANTCREAT, no_figure},
    {EXIT_IOERR, broken},
    {EXIT_DONE, NULL}};

static const struct verb_status help_statuses[] = {
    {EXIT_DONE, "done"},
    {EXIT_USAGE, "there is no such verb"},
    {EXIT_IOERR, "writing failed"},
    {EXIT_DONE, NULL}};

const struct verb verbs[] = {
    {"new", "DIR", true, "start a job folder with every line and place to read",
     "Writes job.ini, boards.csv, lines.csv and readings.csv into DIR, commented, "
     "with\n"
     "the gaps left blank: fill in numbers and nothing else.\n",
     "benchtrue new oak-window-seat --length '61 1/2 in' --width '15 3/4 in'",
     new_statuses, NEW, run_new},
    {"check", "JOB", true, "read everything, list every fault, and what was understood",
     "JOB is a job folder, the job.ini in it, or a file of readings; inside a job\n"
     "folder it may be left out.\n",
     "benchtrue check oak-window-seat", check_statuses, CHECK, run_check},
    {"stock", "JOB", true, "what thickness will the rough boards finish at",
     "Works out from stock.csv and the section [stock] of job.ini what each rough "
     "board\n"
     "cleans up to, whole or cut or ripped first, which boards will not do and what\n"
     "would, what all come to together, sizes to buy, and how long to let them dry.\n",
     "benchtrue stock oak-window-seat --figure stock.pdf", stock_statuses, STOCK,
     run_stock},
    {"fence", "JOB", true, "how far is my fence out, and so what",
     "Combines the checks of fence.csv and says what the fence makes of the boards in\n"
     "boards.csv.\n",
     "benchtrue fence oak-window-seat", fence_statuses, FENCE, run_fence},
    {"edges", "JOB", true,
     "which face to the fence, which joints close, how much spring",
     "Plans the edges of the boards in boards.csv: the mark of each, the panel as it\n"
     "comes out of the clamps, what one forgotten board does, dry joints, springs.\n",
     "benchtrue edges oak-window-seat --figure edges.pdf", edges_statuses, EDGES,
     run_edges},
    {"glueup", "JOB", true,
     "how many clamps, where, in how many stages, and when it is dry",
     "Plans clamps, stages and times from boards.csv and the sections [glue] and\n"
     "[clamp NAME] of job.ini.\n",
     "benchtrue glueup oak-window-seat --figure clamps.pdf", glueup_statuses, GLUEUP,
     run_glueup},
    {"measure", "JOB", true, "which readings to take next, with what I own",
     "Plans the fewest readings with the instruments of job.ini that make cup, bow "
     "and\n"
     "twist (and the surface, for range, zone and gaps) known well enough to judge by\n"
     "the limits, in addition to those of the latest set.\n",
     "benchtrue measure oak-window-seat --aim cup=0.1mm,twist=0.2mm --csv more.csv",
     measure_statuses, MEASURE, run_measure},
    {"flatness", "JOB", true, "is it flat, is it twisted, and how sure is that",
     "JOB is a job folder, the job.ini in it, or a file of readings; inside a job\n"
     "folder it may be left out.  Of several sets of readings the latest by date is\n"
     "reported.\n",
     "benchtrue flatness oak-window-seat --set 'after glue-up'", flatness_statuses,
     FLATNESS, run_flatness},
    {"decide", "JOB", true,
     "leave it, pull it flat, plane it, wait, or re-glue; and why did it happen",
     "Scores the usual causes by what was read, and lists what can be done, best\n"
     "first, with what is left, what it takes and what it risks; what cannot work is\n"
     "listed with the reason.  By the latest set; all sets count for movement.\n",
     "benchtrue decide oak-window-seat --figure removal.pdf", decide_statuses, DECIDE,
     run_decide},
    {"trend", "JOB", true, "days later: is it still moving, and when will it rest",
     "JOB is a job folder, or the job.ini in it; inside a job folder it may be left\n"
     "out.  Its dated sets of readings are compared, as far as they were read on the\n"
     "face of the latest; those without a date are left out.\n",
     "benchtrue trend oak-window-seat --since 2026-03-02", trend_statuses, TREND,
     run_trend},
    {"sheet", "JOB", true, "sheets to pencil on at the bench",
     "Draws the readings that measure plans, the checks of the fence, the dry joints\n"
     "and the opening as boxes to write in, each with the row that it is typed into.\n",
     "benchtrue sheet oak-window-seat -o sheets.pdf --of readings", sheet_statuses,
     SHEET, run_sheet},
    {"layout", "JOB", true,
     "which boards, in which order, and where the finished edges fall",
     "Chooses and orders the boards of boards.csv by the rules of [layout] in "
     "job.ini,\n"
     "with least waste, proven up to 20 boards; checks the cut-outs of cutouts.csv; "
     "and\n"
     "says what other layouts, or rules given up, would change.\n",
     "benchtrue layout oak-window-seat --figure layout.pdf", layout_statuses, LAYOUT,
     run_layout},
    {"movement", "JOB", true,
     "how long are the slots, and where does each screw sit today",
     "The panel between its driest and its dampest ([climate] of job.ini): its width,\n"
     "what each fixing of fixings.csv has to give and gives, where to set its screw,\n"
     "what it holds; ends, joints to walls, and the form that the rings give it.\n",
     "benchtrue movement oak-window-seat --figure fixings.pdf", movement_statuses,
     MOVEMENT, run_movement},
    {"opening", "JOB", true,
     "what shape is the space, will the piece go in, what do I cut",
     "Adjusts the lengths, angles, batten offsets and template of opening.csv, names\n"
     "what does not agree, and plans the piece: gaps by the movement of the wood and\n"
     "the sealant, cuts with angles, what to scribe, and the way in.  Draws the plan,\n"
     "and the outline at full size to print: measure its rule before use.\n",
     "benchtrue opening oak-window-seat --outline pattern.pdf", opening_statuses,
     OPENING, run_opening},
    {"report", "JOB", true, "one document of all that the job's files say",
     "Writes readings, verdicts with their doubt, causes and choices, fence, edges "
     "and\n"
     "glue-up with all figures into one file that needs no other: HTML or PDF.\n",
     "benchtrue report oak-window-seat -o window-seat.html", report_statuses, REPORT,
     run_report},
    {"help", "[VERB]", false, "what a verb does, its options, an example", "",
     "benchtrue help flatness", help_statuses, HELP, run_help},
};
const size_t verb_count = sizeof verbs / sizeof *verbs;

const struct verb *verb_find(const char *name)
{
    for (size_t i = 0; i < verb_count; i++)
        if (strcmp(verbs[i].name, name) == 0)
            return &verbs[i];
    return NULL;
}

const char *verb_nearest(const char *name)
{
    const char *names[sizeof verbs / sizeof *verbs];

    for (size_t i = 0; i < verb_count; i++)
        names[i] = verbs[i].name;
    return bt_nearest(name, strlen(name), verb_count, names);
}
