/* What happens to rows of films, for one precision: REAL and NAME(x) are set by the file that includes this.

   The laws of exchange.py, every sum in the same order, so that both agree to the bit in double precision. Products and
   sums are never fused (-ffp-contract=off). These loops are all the time there is. */

/* Nips that stand straight: rows of n columns, pitch apart ------------------------------------------------------ */

CLONES static void NAME(roll)(REAL *restrict a, REAL *restrict b, int64_t rows, int64_t pitch, int64_t n, REAL share)
{
    for (; rows > 0; rows--, a += pitch, b += pitch)
        for (int64_t j = 0; j < n; j++) {
            REAL total = a[j] + b[j], left = total * share;
            a[j] = left;
            b[j] = total - left;
        }
}

CLONES static void NAME(roll_badly)(REAL *restrict a, REAL *restrict b, const double *restrict contact, int64_t rows,
                                    int64_t pitch, int64_t n, REAL share, REAL rest)
{
    for (; rows > 0; rows--, a += pitch, b += pitch)
        for (int64_t j = 0; j < n; j++) {
            REAL moved = (b[j] * share - a[j] * rest) * (REAL)contact[j];
            a[j] += moved;
            b[j] -= moved;
        }
}

CLONES static void NAME(form)(REAL *restrict a, REAL *restrict b, const REAL *restrict cover, int64_t rows,
                              int64_t pitch,
                              int64_t cover_pitch, int64_t n, REAL share, REAL rest)
{
    for (; rows > 0; rows--, a += pitch, b += pitch, cover += cover_pitch)
        for (int64_t j = 0; j < n; j++) {
            REAL total = a[j] + b[j], kept = total * rest;
            b[j] = cover[j] > 0 ? kept : 0;
            a[j] += (total * share - a[j]) * cover[j];
        }
}

CLONES static void NAME(form_badly)(REAL *restrict a, REAL *restrict b, const REAL *restrict cover,
                                    const double *restrict contact, int64_t rows, int64_t pitch, int64_t cover_pitch,
                                    int64_t n, REAL share, REAL rest)
{
    for (; rows > 0; rows--, a += pitch, b += pitch, cover += cover_pitch)
        for (int64_t j = 0; j < n; j++) {
            REAL moved = (b[j] * share - a[j] * rest) * (REAL)contact[j];
            a[j] += moved * cover[j];
            b[j] -= cover[j] > 0 ? moved : 0;
        }
}

/* Nips that stand sideways: each cell of a lies on two of b, `step` and step + 1 columns on --------------------- */

/* What a gains over one of the two pieces: columns first..end of a on columns + step of b. */
CLONES static void NAME(piece)(REAL *restrict gain, const REAL *restrict a, const REAL *restrict b, int64_t n,
                               REAL share,
                               REAL rest, REAL area)
{
    for (int64_t j = 0; j < n; j++) gain[j] = (b[j] * share - a[j] * rest) * area;
}

/* Contact is read in the column where the middle of the piece lies, the outermost columns going on beyond the end. */
static void NAME(piece_badly)(REAL *restrict gain, const REAL *restrict a, const REAL *restrict b, int64_t n,
                              REAL share,
                              REAL rest, double area, const double *restrict contact, int64_t base, int64_t last)
{
    for (int64_t j = 0; j < n; j++) {
        int64_t at = base + j < 0 ? 0 : base + j > last ? last : base + j;
        gain[j] = (b[j] * share - a[j] * rest) * (REAL)(area * contact[at]);
    }
}

/* Gains given to a and taken from b, the second piece's one column further; gains are 0 where a piece ends. */
CLONES static void NAME(give)(REAL *restrict a, REAL *restrict b, const REAL *restrict near, const REAL *restrict far,
                              int64_t first_a, int64_t end_a, int64_t first_b, int64_t end_b, int64_t step)
{
    for (int64_t j = first_a; j < end_a; j++) a[j] = a[j] + near[j] + far[j];
    for (int64_t k = first_b; k < end_b; k++) b[k] = b[k] - near[k - step] - far[k - step - 1];
}

CLONES static void NAME(give_form)(REAL *restrict a, REAL *restrict b, const REAL *restrict cover,
                                   const REAL *restrict near, const REAL *restrict far, int64_t first_a, int64_t end_a,
                                   int64_t first_b, int64_t end_b, int64_t step)
{
    const REAL *restrict c = cover + step;
    for (int64_t j = first_a; j < end_a; j++) a[j] = a[j] + near[j] * c[j] + far[j] * c[j + 1];
    for (int64_t k = first_b; k < end_b; k++) {
        REAL taken = b[k] - near[k - step] - far[k - step - 1];
        b[k] = cover[k] > 0 ? taken : b[k];
    }
}

/* Feeds and the sheet ------------------------------------------------------------------------------------------- */

/* Columns first..end of surface a gain `area` of what a whole cell gains from the supply that lies on them. */
CLONES static void NAME(supply)(REAL *restrict a, REAL *restrict gain, const REAL *restrict volume, int64_t first,
                                int64_t end,
                         REAL rest, double area)
{
    for (int64_t j = first; j < end; j++) gain[j] = (REAL)(area * (double)(volume[j] - rest * a[j]));
}

CLONES static void NAME(take_in)(REAL *restrict a, const REAL *restrict gain, int64_t first, int64_t end)
{
    for (int64_t j = first; j < end; j++) a[j] += gain[j];
}

CLONES static void NAME(print)(REAL *restrict film, REAL *restrict sheet, double *restrict printed,
                               const REAL *restrict cover, const REAL *restrict takes, int64_t n, REAL tau)
{
    for (int64_t j = 0; j < n; j++) {
        REAL taken = takes ? tau * film[j] * takes[j] : tau * film[j];
        film[j] -= taken;
        sheet[j] = taken;
        printed[j] += (double)taken * (double)cover[j];
    }
}

/* Sums by column ------------------------------------------------------------------------------------------------ */

CLONES static void NAME(sum)(double *restrict into, const REAL *restrict film, int64_t n)
{
    for (int64_t j = 0; j < n; j++) into[j] += (double)film[j];
}

CLONES static void NAME(sum_weighed)(double *restrict into, const REAL *restrict film, const REAL *restrict weight,
                                     int64_t n)
{
    for (int64_t j = 0; j < n; j++) into[j] += (double)film[j] * (double)weight[j];
}

CLONES static void NAME(sum_scaled)(double *restrict into, const REAL *restrict film, double scale, int64_t n)
{
    for (int64_t j = 0; j < n; j++) into[j] += (double)film[j] * scale;
}

CLONES static void NAME(count)(double *restrict fed, const REAL *restrict gain, int64_t first, int64_t end)
{
    for (int64_t j = first; j < end; j++) fed[j] += (double)gain[j];
}
