namespace VibeCheck.Core.Quality;

/// <summary>Ways in which motors may have been numbered differently.</summary>
internal static class Renumberings
{
    // 40,320 permutations.
    private const int MostForAll = 8;

    /// <summary>All permutations of up to eight motors; for more motors, every exchange of two, every shift and the reverse.</summary>
    /// <param name="n">Number of motors.</param>
    /// <returns>For each place the index of the motor that is there; the identity may be among them.</returns>
    internal static IEnumerable<int[]> Of(int n)
    {
        int[] plain = [.. Enumerable.Range(0, n)];
        return n <= MostForAll ? Permutations(plain, 0) : [.. Shifts(plain), Array.ConvertAll(plain, i => n - 1 - i), .. Exchanges(plain)];
    }

    private static IEnumerable<int[]> Shifts(int[] plain) =>
        Enumerable.Range(1, plain.Length - 1).Select(shift => Array.ConvertAll(plain, i => (i + shift) % plain.Length));

    private static IEnumerable<int[]> Exchanges(int[] plain) =>
        plain.SelectMany(a =>
            plain
                .Where(b => b > a)
                .Select(b =>
                    Array.ConvertAll(
                        plain,
                        i =>
                            i == a ? b
                            : i == b ? a
                            : i
                    )
                )
        );

    private static IEnumerable<int[]> Permutations(int[] of, int from)
    {
        if (from == of.Length)
        {
            yield return [.. of];
            yield break;
        }

        for (int i = from; i < of.Length; i++)
        {
            (of[from], of[i]) = (of[i], of[from]);
            foreach (int[] rest in Permutations(of, from + 1))
            {
                yield return rest;
            }

            (of[from], of[i]) = (of[i], of[from]);
        }
    }
}
