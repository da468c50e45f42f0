/* ABD of many stacks of equal plies: the textbook sums, one stack after another. */
#include <stddef.h>
void abd(size_t stacks, int plies, const unsigned char *choice, const double *q /* kind, 6 */,
         double t, double *out /* stack, 36 */) {
    static const int at[3][3] = {{0, 1, 2}, {1, 3, 4}, {2, 4, 5}};
    for (size_t s = 0; s < stacks; s++) {
        double A[6] = {0}, B[6] = {0}, D[6] = {0};
        for (int p = 0; p < plies; p++) {
            const double *Q = q + 6 * choice[s * plies + p];
            double z = (p + 0.5 - 0.5 * plies) * t, b = t * z, d = t * z * z + t * t * t / 12;
            for (int j = 0; j < 6; j++) {
                A[j] += t * Q[j];
                B[j] += b * Q[j];
                D[j] += d * Q[j];
            }
        }
        double *o = out + 36 * s;
        for (int i = 0; i < 3; i++)
            for (int j = 0; j < 3; j++) {
                int k = at[i][j];
                o[6 * i + j] = A[k];
                o[6 * i + j + 3] = o[6 * (i + 3) + j] = B[k];
                o[6 * (i + 3) + j + 3] = D[k];
            }
    }
}
