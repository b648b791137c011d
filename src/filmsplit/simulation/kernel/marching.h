/* Some revolutions of marching, for one precision: REAL and NAME(x) are set by the file that includes this.

   It does row by row what exchange.py, runs.py and numpy_march.py do with whole blocks, every sum in
   the same order, so that both agree to the bit in double precision. Products and sums are never fused
   (-ffp-contract=off).

   Several threads may march together, each with columns of its own, which lie apart in memory. Around them it holds
   some of its neighbours' columns; before surfaces stand sideways to each other it fetches those anew. No sum depends
   on how many threads there are. */

enum { NAME(ROLL), NAME(FORM), NAME(FEED), NAME(TAKE), NAME(SWEEP) };

typedef struct {
    int64_t kind, a, b, at_a, at_b, first_a, end_a, first_b, end_b, slides, weigh_a, weigh_b;
    int64_t whole, turns; /* a sweep: whole cells swept, cells turned */
    double share, part;   /* part: of the last cell swept */
    const double *contact, *place_a, *place_b;
    const REAL *volume;
    double *seen; /* arriving a, b, leaving a, b, weight a, b: six rows of columns, or null */
} NAME(Work);

typedef struct NAME(March) NAME(March);

/* What one thread marches. It holds `columns`, of which `first` to `end` are its own; column 0 is column `held` of all
   `width`. What all threads share (cover, takes, sheet, sums) is given from that column on. */
struct NAME(March) {
    int64_t works, loops, columns, first, end, held, width, pitch, cover_pitch, rows, block, lead, segments, parts;
    const NAME(Work) *work;
    const NAME(March) *left, *right;
    REAL **surface;
    const int64_t *size;
    /* by segment: steps, revolution; and by loop or work: the row it stands at, whether it moves, what is worked */
    const int64_t *steps, *turn, *start, *moves, *active;
    const REAL *cover, *takes;
    REAL *sheet;
    double *sheet_sum, *printed, *fed, **ductor_sum; /* printed and fed: a row for each revolution */
    double tau;
    REAL *gain; /* room for two rows, each with a line of cache to spare at both ends */
    _Atomic int64_t *arrived;
};

/* Where a thread is: how often it has waited, the steps before its segment, and what holds in it. */
typedef struct {
    const NAME(March) *s;
    int64_t waits, before;
    const int64_t *start, *moves, *active;
    double *printed, *fed;
} NAME(At);

static int64_t NAME(row)(const NAME(At) *c, int64_t loop, int64_t at, int64_t done)
{
    int64_t size = c->s->size[loop], row = (c->start[loop] + (c->moves[loop] ? done : 0) - at) % size;
    return row < 0 ? row + size : row;
}

/* Steps from `done` on until a surface of this size comes round, or `finish`. */
static int64_t NAME(unbroken)(int64_t steps, int64_t size, int64_t row)
{
    return steps < size - row ? steps : size - row;
}

/* Go on when all threads have come here. */
static void NAME(meet)(NAME(At) *c)
{
    int64_t all = ++c->waits * c->s->parts;
    atomic_fetch_add(c->s->arrived, 1);
    for (int64_t tries = 0; atomic_load(c->s->arrived) < all; tries++)
        if (tries > 20000) REST; /* asleep, a thread would come back later than a row takes */
}

static void NAME(fetch_from)(const NAME(March) *s, const NAME(March) *from, int64_t loop, int64_t row, int64_t first,
                             int64_t end)
{
    REAL *mine = s->surface[loop] + row * s->pitch;
    const REAL *theirs = from->surface[loop] + row * from->pitch + s->held - from->held;
    for (int64_t j = first; j < end; j++) mine[j] = theirs[j];
}

/* Of a row of a loop, those of the columns `first` to `end` that are not its own. */
static void NAME(fetch_row)(const NAME(March) *s, int64_t loop, int64_t row, int64_t first, int64_t end)
{
    if (s->left) NAME(fetch_from)(s, s->left, loop, row, MOST(first, 0), LEAST(end, s->first));
    if (s->right) NAME(fetch_from)(s, s->right, loop, row, MOST(first, s->end), LEAST(end, s->columns));
}

static double NAME(shift)(const NAME(Work) *w, int64_t done)
{
    return (w->place_a ? w->place_a[done] : 0.0) - (w->place_b ? w->place_b[done] : 0.0);
}

/* The neighbours' cells that its own will meet in a block. Nobody goes on before everybody has them. */
static void NAME(fetch)(NAME(At) *c, const NAME(Work) *w, int64_t begin, int64_t finish)
{
    const NAME(March) *s = c->s;
    if (s->parts == 1) return;
    NAME(meet)(c);
    for (int64_t done = begin; done < finish; done++) {
        int64_t step = (int64_t)floor(NAME(shift)(w, c->before + done));
        NAME(fetch_row)(s, w->a, NAME(row)(c, w->a, w->at_a, done), s->first - step - 1, s->end - step);
        if (w->b != w->a)
            NAME(fetch_row)(s, w->b, NAME(row)(c, w->b, w->at_b, done), s->first + step, s->end + step + 1);
    }
    NAME(meet)(c);
}

/* What passes a nip --------------------------------------------------------------------------------------------- */

static const REAL *NAME(weights)(const NAME(March) *s, int64_t weigh, int64_t row)
{
    if (weigh == 0) return 0;
    return s->cover + (weigh == 1 ? row : MODULO(row + s->lead, s->rows)) * s->cover_pitch;
}

/* The films of one step on both sides of a nip, before or after it. */
static void NAME(see)(const NAME(At) *c, const NAME(Work) *w, int64_t done, int leaving)
{
    const NAME(March) *s = c->s;
    int64_t first = s->first, n = s->end - s->first;
    for (int side = 0; side < 2; side++) {
        int64_t loop = side ? w->b : w->a, row = NAME(row)(c, loop, side ? w->at_b : w->at_a, done);
        const REAL *film = s->surface[loop] + row * s->pitch + first;
        const REAL *weight = NAME(weights)(s, side ? w->weigh_b : w->weigh_a, row);
        double *into = w->seen + (2 * leaving + side) * s->width + first;
        if (weight) NAME(sum_weighed)(into, film, weight + first, n);
        else NAME(sum)(into, film, n);
    }
}

/* The weights of what passes in a block: a step is 1 on a roller. */
static void NAME(weigh)(const NAME(At) *c, const NAME(Work) *w, int64_t begin, int64_t finish)
{
    const NAME(March) *s = c->s;
    for (int side = 0; side < 2; side++) {
        double *into = w->seen + (4 + side) * s->width;
        int64_t weigh = side ? w->weigh_b : w->weigh_a;
        for (int64_t j = s->first; !weigh && j < s->end; j++) into[j] += (double)(finish - begin);
        for (int64_t done = begin; weigh && done < finish; done++) {
            int64_t row = NAME(row)(c, side ? w->b : w->a, side ? w->at_b : w->at_a, done);
            NAME(sum)(into + s->first, NAME(weights)(s, weigh, row) + s->first, s->end - s->first);
        }
    }
}

/* Nips that stand straight -------------------------------------------------------------------------------------- */

static void NAME(straight)(const NAME(At) *c, const NAME(Work) *w, int64_t begin, int64_t finish)
{
    const NAME(March) *s = c->s;
    int64_t first = MOST(MOST(w->first_a, w->first_b), s->first), n = LEAST(LEAST(w->end_a, w->end_b), s->end) - first;
    REAL share = (REAL)w->share, rest = (REAL)(1.0 - w->share);
    const double *contact = w->contact ? w->contact + s->held + first : 0;
    for (int64_t done = begin, rows = 0; done < finish && n > 0; done += rows) {
        int64_t ra = NAME(row)(c, w->a, w->at_a, done), rb = NAME(row)(c, w->b, w->at_b, done);
        rows = NAME(unbroken)(NAME(unbroken)(finish - done, s->size[w->a], ra), s->size[w->b], rb);
        REAL *a = s->surface[w->a] + ra * s->pitch + first, *b = s->surface[w->b] + rb * s->pitch + first;
        const REAL *cover = s->cover + (w->kind == NAME(FORM) ? rb * s->cover_pitch + first : 0);
        if (w->kind == NAME(ROLL) && !contact) NAME(roll)(a, b, rows, s->pitch, n, share);
        else if (w->kind == NAME(ROLL)) NAME(roll_badly)(a, b, contact, rows, s->pitch, n, share, rest);
        else if (!contact) NAME(form)(a, b, cover, rows, s->pitch, s->cover_pitch, n, share, rest);
        else NAME(form_badly)(a, b, cover, contact, rows, s->pitch, s->cover_pitch, n, share, rest);
    }
}

/* Nips that stand sideways -------------------------------------------------------------------------------------- */

static void NAME(sideways)(const NAME(At) *c, const NAME(Work) *w, int64_t ra, int64_t rb, int64_t done)
{
    const NAME(March) *s = c->s;
    REAL *a = s->surface[w->a] + ra * s->pitch, *b = s->surface[w->b] + rb * s->pitch, *gains[2];
    double place = w->place_a ? w->place_a[done] : 0.0, shift = NAME(shift)(w, done);
    double whole = floor(shift), part = shift - whole;
    REAL share = (REAL)w->share, rest = (REAL)(1.0 - w->share);
    int64_t step = (int64_t)whole, low = s->columns, high = 0;
    for (int p = 0; p < 2; p++) {
        int64_t first = MOST(w->first_a, w->first_b - step - p), end = LEAST(w->end_a, w->end_b - step - p);
        double area = p ? part : 1.0 - part, middle = place + (p ? 1.0 - part / 2 : (1.0 - part) / 2);
        REAL *gain = gains[p] = s->gain + p * (s->columns + 2 * SPARE) + SPARE;
        if (first >= end) first = end = LEAST(MOST(first, w->first_a), w->end_a);
        gain[first - 1] = gain[first - 2] = gain[end] = gain[end + 1] = 0;
        if (w->contact)
            NAME(piece_badly)(gain + first, a + first, b + first + step + p, end - first, share, rest, area, w->contact,
                              (int64_t)floor(middle) + s->held + first, s->width - 1);
        else
            NAME(piece)(gain + first, a + first, b + first + step + p, end - first, share, rest, (REAL)area);
        low = LEAST(low, first);
        high = MOST(high, end);
    }
    int64_t first_b = MOST(w->first_b, low + step), end_b = LEAST(w->end_b, high + step + 1);
    if (w->kind == NAME(FORM))
        NAME(give_form)(a, b, s->cover + rb * s->cover_pitch, gains[0], gains[1], low, high, first_b, end_b, step);
    else
        NAME(give)(a, b, gains[0], gains[1], low, high, first_b, end_b, step);
}

static void NAME(exchange)(const NAME(At) *c, const NAME(Work) *w, int64_t begin, int64_t finish)
{
    if (!w->slides) NAME(straight)(c, w, begin, finish);
    for (int64_t done = begin; w->slides && done < finish; done++)
        NAME(sideways)(c, w, NAME(row)(c, w->a, w->at_a, done), NAME(row)(c, w->b, w->at_b, done), c->before + done);
}

static void NAME(nip)(NAME(At) *c, const NAME(Work) *w, int64_t begin, int64_t finish)
{
    if (w->slides) NAME(fetch)(c, w, begin, finish);
    if (!w->seen) {
        NAME(exchange)(c, w, begin, finish);
        return;
    }
    NAME(weigh)(c, w, begin, finish);
    for (int64_t done = begin; done < finish; done++) {
        NAME(see)(c, w, done, 0);
        NAME(exchange)(c, w, done, done + 1);
        NAME(see)(c, w, done, 1);
    }
}

/* Feeds and the sheet ------------------------------------------------------------------------------------------- */

static void NAME(feed_sideways)(const NAME(At) *c, const NAME(Work) *w, REAL *a, int64_t done)
{
    const NAME(March) *s = c->s;
    double shift = NAME(shift)(w, done), whole = floor(shift), part = shift - whole;
    int64_t step = (int64_t)whole, first[2], end[2];
    REAL *gain[2];
    for (int p = 0; p < 2; p++) {
        gain[p] = s->gain + p * (s->columns + 2 * SPARE) + SPARE;
        first[p] = MOST(w->first_a, w->first_b - step - p);
        end[p] = LEAST(w->end_a, w->end_b - step - p);
        NAME(supply)(a, gain[p], w->volume + step + p, first[p], end[p], (REAL)w->share, p ? part : 1.0 - part);
    }
    for (int p = 0; p < 2; p++) {
        NAME(take_in)(a, gain[p], first[p], end[p]);
        NAME(count)(c->fed + step + p, gain[p], MOST(first[p], s->first - step - p), LEAST(end[p], s->end - step - p));
    }
}

static void NAME(feed_straight)(const NAME(At) *c, const NAME(Work) *w, int64_t row, double area)
{
    const NAME(March) *s = c->s;
    int64_t first = MOST(MOST(w->first_a, w->first_b), s->first), end = LEAST(LEAST(w->end_a, w->end_b), s->end);
    REAL *a = s->surface[w->a] + row * s->pitch, *gain = s->gain + SPARE;
    NAME(supply)(a, gain, w->volume, first, end, (REAL)w->share, area);
    NAME(take_in)(a, gain, first, end);
    NAME(count)(c->fed, gain, first, end);
}

static void NAME(feed)(NAME(At) *c, const NAME(Work) *w, int64_t begin, int64_t finish)
{
    if (w->slides) NAME(fetch)(c, w, begin, finish);
    for (int64_t done = begin; done < finish; done++) {
        int64_t row = NAME(row)(c, w->a, w->at_a, done);
        if (w->slides) NAME(feed_sideways)(c, w, c->s->surface[w->a] + row * c->s->pitch, c->before + done);
        else NAME(feed_straight)(c, w, row, 1.0);
    }
}

/* The ductor's dwell on the fountain, at the beginning of a segment; `start` is where it stands afterwards. */
static void NAME(sweep)(const NAME(At) *c, const NAME(Work) *w)
{
    int64_t size = c->s->size[w->a], from = c->start[w->a] - w->turns - w->at_a;
    for (int64_t done = 0; done < w->whole; done++) NAME(feed_straight)(c, w, MODULO(from + done, size), 1.0);
    NAME(feed_straight)(c, w, MODULO(from + w->whole, size), w->part);
}

static void NAME(take)(const NAME(At) *c, const NAME(Work) *w, int64_t begin, int64_t finish)
{
    const NAME(March) *s = c->s;
    for (int64_t done = begin; done < finish; done++) {
        int64_t row = NAME(row)(c, w->a, w->at_a, done), plate = MODULO(row + s->lead, s->rows);
        const REAL *cover = s->cover + plate * s->cover_pitch + s->first;
        const REAL *takes = s->takes ? s->takes + plate * s->cover_pitch + s->first : 0;
        REAL *sheet = s->sheet + plate * s->width + s->first;
        NAME(print)(s->surface[w->a] + row * s->pitch + s->first, sheet, c->printed + s->first, cover, takes,
                    s->end - s->first, (REAL)s->tau);
        if (s->sheet_sum) NAME(count)(s->sheet_sum + plate * s->width + s->first, sheet, 0, s->end - s->first);
    }
}

/* The mean film of each ductor, over so many steps: after each block if it turns, else once for all of the segment. */
static void NAME(see_ductors)(const NAME(At) *c, int64_t turning, int64_t steps)
{
    const NAME(March) *s = c->s;
    for (int64_t i = 0; s->ductor_sum && i < s->loops; i++) {
        if (!s->ductor_sum[i] || (c->moves[i] != 0) != turning) continue;
        double scale = (double)steps / (double)s->size[i];
        double *into = s->ductor_sum[i] + s->first;
        const REAL *film = s->surface[i] + s->first;
        for (int64_t row = 0; row < s->size[i]; row++)
            NAME(sum_scaled)(into, film + row * s->pitch, scale, s->end - s->first);
    }
}

/* The march ----------------------------------------------------------------------------------------------------- */

static void NAME(block)(NAME(At) *c, int64_t begin, int64_t finish)
{
    const NAME(March) *s = c->s;
    for (int64_t i = 0; i < s->works; i++) {
        const NAME(Work) *w = s->work + i;
        if (!c->active[i] || w->kind == NAME(SWEEP)) continue;
        if (w->kind == NAME(TAKE)) NAME(take)(c, w, begin, finish);
        else if (w->kind == NAME(FEED)) NAME(feed)(c, w, begin, finish);
        else NAME(nip)(c, w, begin, finish);
    }
    NAME(see_ductors)(c, 1, finish - begin);
}

void NAME(march)(const NAME(March) *s)
{
    NAME(At) c = {.s = s};
    for (int64_t i = 0; i < s->segments; i++) {
        c.start = s->start + i * s->loops;
        c.moves = s->moves + i * s->loops;
        c.active = s->active + i * s->works;
        c.printed = s->printed + s->turn[i] * s->width;
        c.fed = s->fed + s->turn[i] * s->width;
        for (int64_t k = 0; k < s->works; k++)
            if (c.active[k] && s->work[k].kind == NAME(SWEEP)) NAME(sweep)(&c, s->work + k);
        NAME(see_ductors)(&c, 0, s->steps[i]);
        for (int64_t begin = 0; begin < s->steps[i]; begin += s->block)
            NAME(block)(&c, begin, LEAST(begin + s->block, s->steps[i]));
        c.before += s->steps[i];
    }
}
