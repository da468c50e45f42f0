#include <math.h>

/* Smallest Tsai-Wu strength ratio of m ply directions: linear (m, 3), and quadratic (m, 6) on
   xx, yy, ss, xy, xs, ys with the cross terms doubled; strain (n, 3), ratio (n). */
void governing(const double *restrict strain, double *restrict ratio, long n,
               const double *restrict linear, const double *restrict quadratic, long m)
{
    for (long i = 0; i < n; i++) {
        double x = strain[3 * i], y = strain[3 * i + 1], s = strain[3 * i + 2], least = INFINITY;
        for (long k = 0; k < m; k++) {
            const double *l = linear + 3 * k, *g = quadratic + 6 * k;
            double b = l[0] * x + l[1] * y + l[2] * s;
            double a = g[0] * x * x + g[1] * y * y + g[2] * s * s + g[3] * x * y + g[4] * x * s + g[5] * y * s;
            double r = 2 / (b + sqrt(b * b + 4 * a));
            if (r < least)
                least = r;
        }
        ratio[i] = least;
    }
}
