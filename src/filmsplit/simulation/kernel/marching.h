/* One stretch of marching, for one precision: REAL and NAME(x) are set by the file that includes this.

   It does, row by row, what exchange.py, runs.py and march.py do with whole blocks, in the same order of operations,
   so that both agree to the bit in double precision. Products and sums are never fused (-ffp-contract=off). */

typedef struct {
    int64_t kind, a, b, at_a, at_b, first_a, end_a, first_b, end_b, active, weigh_a, weigh_b;
    double share;
    const double *contact, *place_a, *place_b;
    const REAL *volume;
    double *seen; /* arriving a, b, leaving a, b, weight a, b: six rows of columns, or null */
} NAME(Work);

typedef struct {
    int64_t works, loops, columns, rows, block, lead, step, steps;
    const NAME(Work) *work;
    REAL **surface;
    const int64_t *size, *start, *moves;
    const REAL *cover, *image, *blanket_cover, *takes;
    REAL *sheet;
    double *sheet_sum, *printed, *fed, **ductor_sum;
    double tau;
    REAL *gain; /* room for two rows */
} NAME(Stretch);

static int64_t NAME(row)(const NAME(Stretch) *s, int64_t loop, int64_t at, int64_t done)
{
    int64_t size = s->size[loop];
    int64_t row = (s->start[loop] + (s->moves[loop] ? done : 0) - at) % size;
    return row < 0 ? row + size : row;
}

static void NAME(sum)(double *into, const REAL *film, const REAL *weight, int64_t columns)
{
    if (weight)
        for (int64_t j = 0; j < columns; j++) into[j] += (double)film[j] * (double)weight[j];
    else
        for (int64_t j = 0; j < columns; j++) into[j] += (double)film[j];
}

static const REAL *NAME(weights)(const NAME(Stretch) *s, int64_t weigh, int64_t row)
{
    if (weigh == 1) return s->cover + row * s->columns;
    if (weigh == 2) return s->blanket_cover + row * s->columns;
    return 0;
}

static void NAME(see)(const NAME(Stretch) *s, const NAME(Work) *w, const REAL *a, const REAL *b, int64_t ra, int64_t rb,
                      int leaving)
{
    int64_t n = s->columns;
    const REAL *wa = NAME(weights)(s, w->weigh_a, ra), *wb = NAME(weights)(s, w->weigh_b, rb);
    NAME(sum)(w->seen + (leaving ? 2 : 0) * n, a, wa, n);
    NAME(sum)(w->seen + (leaving ? 3 : 1) * n, b, wb, n);
    if (leaving) return;
    for (int side = 0; side < 2; side++) {
        double *into = w->seen + (4 + side) * n;
        const REAL *weight = side ? wb : wa;
        for (int64_t j = 0; j < n; j++) into[j] += weight ? (double)weight[j] : 1.0;
    }
}

CLONES static void NAME(straight)(const NAME(Work) *w, REAL *restrict a, REAL *restrict b, const REAL *restrict cover,
                                  const REAL *restrict image)
{
    int64_t first = w->first_a > w->first_b ? w->first_a : w->first_b;
    int64_t end = w->end_a < w->end_b ? w->end_a : w->end_b;
    REAL share = (REAL)w->share, rest = (REAL)(1.0 - w->share);
    const double *restrict contact = w->contact;
    if (w->kind == 0 && !contact) {
        for (int64_t j = first; j < end; j++) {
            REAL total = a[j] + b[j], left = total * share;
            a[j] = left;
            b[j] = total - left;
        }
    } else if (w->kind == 0) {
        for (int64_t j = first; j < end; j++) {
            REAL moved = b[j] * share - a[j] * rest;
            moved = (REAL)((double)moved * contact[j]);
            a[j] += moved;
            b[j] -= moved;
        }
    } else if (!contact) {
        for (int64_t j = first; j < end; j++) {
            REAL total = a[j] + b[j];
            b[j] = total * rest * image[j];
            a[j] += (total * share - a[j]) * cover[j];
        }
    } else {
        for (int64_t j = first; j < end; j++) {
            REAL moved = b[j] * share - a[j] * rest;
            moved = (REAL)((double)moved * contact[j]);
            a[j] += moved * cover[j];
            b[j] -= moved * image[j];
        }
    }
}

/* Gain of surface a over one overlapping piece: columns first..end of a on columns +step of b. */
CLONES static void NAME(piece)(REAL *restrict gain, const REAL *restrict a, const REAL *restrict b, REAL share, REAL rest,
                               double area, int64_t first, int64_t end, int64_t step)
{
    for (int64_t j = first; j < end; j++) gain[j] = (REAL)((double)(b[j + step] * share - a[j] * rest) * area);
}

static void NAME(piece_badly)(REAL *gain, const REAL *a, const REAL *b, const NAME(Work) *w, double area, double middle,
                              int64_t first, int64_t end, int64_t step, int64_t columns)
{
    REAL share = (REAL)w->share, rest = (REAL)(1.0 - w->share);
    int64_t base = (int64_t)floor(middle);
    for (int64_t j = first; j < end; j++) {
        int64_t at = base + j < 0 ? 0 : base + j >= columns ? columns - 1 : base + j;
        gain[j] = (REAL)((double)(b[j + step] * share - a[j] * rest) * (area * w->contact[at]));
    }
}

CLONES static void NAME(give)(const REAL *restrict gain, REAL *restrict a, REAL *restrict b, const REAL *restrict cover,
                              const REAL *restrict image, int64_t first, int64_t end, int64_t step)
{
    if (cover)
        for (int64_t j = first; j < end; j++) {
            a[j] += gain[j] * cover[j + step];
            b[j + step] -= gain[j] * image[j + step];
        }
    else
        for (int64_t j = first; j < end; j++) {
            a[j] += gain[j];
            b[j + step] -= gain[j];
        }
}

static void NAME(sideways)(const NAME(Stretch) *s, const NAME(Work) *w, REAL *a, REAL *b, const REAL *cover,
                           const REAL *image, int64_t done)
{
    double place = w->place_a ? w->place_a[done] : 0.0;
    double shift = place - (w->place_b ? w->place_b[done] : 0.0), whole = floor(shift), part = shift - whole;
    REAL share = (REAL)w->share, rest = (REAL)(1.0 - w->share);
    int64_t first[2], end[2], step[2];
    for (int p = 0; p < 2; p++) {
        double area = p ? part : 1.0 - part;
        step[p] = (int64_t)whole + p;
        first[p] = w->first_a > w->first_b - step[p] ? w->first_a : w->first_b - step[p];
        end[p] = w->end_a < w->end_b - step[p] ? w->end_a : w->end_b - step[p];
        REAL *gain = s->gain + p * s->columns;
        if (w->contact)
            NAME(piece_badly)(gain, a, b, w, area, place + (p ? 1.0 - part / 2 : (1.0 - part) / 2), first[p], end[p],
                              step[p], s->columns);
        else
            NAME(piece)(gain, a, b, share, rest, area, first[p], end[p], step[p]);
    }
    for (int p = 0; p < 2; p++) NAME(give)(s->gain + p * s->columns, a, b, cover, image, first[p], end[p], step[p]);
}

static void NAME(nip)(const NAME(Stretch) *s, const NAME(Work) *w, int64_t begin, int64_t finish)
{
    for (int64_t done = begin; done < finish; done++) {
        int64_t ra = NAME(row)(s, w->a, w->at_a, done), rb = NAME(row)(s, w->b, w->at_b, done);
        REAL *a = s->surface[w->a] + ra * s->columns, *b = s->surface[w->b] + rb * s->columns;
        const REAL *cover = w->kind == 1 ? s->cover + rb * s->columns : 0;
        const REAL *image = w->kind == 1 ? s->image + rb * s->columns : 0;
        if (w->seen) NAME(see)(s, w, a, b, ra, rb, 0);
        if (w->place_a || w->place_b)
            NAME(sideways)(s, w, a, b, cover, image, done);
        else
            NAME(straight)(w, a, b, cover, image);
        if (w->seen) NAME(see)(s, w, a, b, ra, rb, 1);
    }
}

static void NAME(feed)(const NAME(Stretch) *s, const NAME(Work) *w, int64_t begin, int64_t finish)
{
    REAL rest = (REAL)w->share;
    for (int64_t done = begin; done < finish; done++) {
        REAL *a = s->surface[w->a] + NAME(row)(s, w->a, w->at_a, done) * s->columns;
        double shift = w->place_a ? w->place_a[done] : 0.0, whole = floor(shift), part = shift - whole;
        int64_t first[2], end[2], pieces = w->place_a ? 2 : 1;
        for (int p = 0; p < pieces; p++) {
            double area = p ? part : 1.0 - part;
            int64_t step = (int64_t)whole + p;
            first[p] = w->first_a > w->first_b - step ? w->first_a : w->first_b - step;
            end[p] = w->end_a < w->end_b - step ? w->end_a : w->end_b - step;
            for (int64_t j = first[p]; j < end[p]; j++)
                s->gain[p * s->columns + j] = (REAL)(area * (double)(w->volume[j + step] - rest * a[j]));
        }
        for (int p = 0; p < pieces; p++)
            for (int64_t j = first[p]; j < end[p]; j++) {
                a[j] += s->gain[p * s->columns + j];
                s->fed[j + (int64_t)whole + p] += (double)s->gain[p * s->columns + j];
            }
    }
}

static void NAME(take)(const NAME(Stretch) *s, const NAME(Work) *w, int64_t begin, int64_t finish)
{
    REAL tau = (REAL)s->tau;
    for (int64_t done = begin; done < finish; done++) {
        int64_t row = NAME(row)(s, w->a, w->at_a, done), n = s->columns, plate = (row + s->lead) % s->rows;
        if (plate < 0) plate += s->rows;
        REAL *film = s->surface[w->a] + row * n, *sheet = s->sheet + plate * n;
        const REAL *cover = s->blanket_cover + row * n, *takes = s->takes ? s->takes + row * n : 0;
        for (int64_t j = 0; j < n; j++) {
            REAL taken = takes ? tau * film[j] * takes[j] : tau * film[j];
            film[j] -= taken;
            sheet[j] = taken;
            s->printed[j] += (double)taken * (double)cover[j];
        }
        if (s->sheet_sum)
            for (int64_t j = 0; j < n; j++) s->sheet_sum[plate * n + j] += (double)sheet[j];
    }
}

static void NAME(mean)(const NAME(Stretch) *s, int64_t loop, int64_t steps)
{
    for (int64_t r = 0; r < s->size[loop]; r++)
        for (int64_t j = 0; j < s->columns; j++)
            s->ductor_sum[loop][j] += (double)s->surface[loop][r * s->columns + j] * (double)steps / (double)s->size[loop];
}

void NAME(march)(const NAME(Stretch) *s)
{
    for (int64_t begin = 0; begin < s->steps; begin += s->block) {
        int64_t finish = begin + s->block < s->steps ? begin + s->block : s->steps;
        for (int64_t i = 0; i < s->works; i++) {
            const NAME(Work) *w = s->work + i;
            if (!w->active) continue;
            if (w->kind < 2) NAME(nip)(s, w, begin, finish);
            else if (w->kind == 2) NAME(feed)(s, w, begin, finish);
            else NAME(take)(s, w, begin, finish);
        }
        if (s->ductor_sum)
            for (int64_t i = 0; i < s->loops; i++)
                if (s->ductor_sum[i]) NAME(mean)(s, i, finish - begin);
    }
}
