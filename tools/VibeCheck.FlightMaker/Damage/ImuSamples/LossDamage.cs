namespace VibeCheck.FlightMaker.Damage.ImuSamples;

/// <summary>Rows that are lost, repeated or out of order.</summary>
internal static class LossDamage
{
    internal static IReadOnlyList<DamageKind> Kinds { get; } =
    [
        DamageKind.Of("rows lost at random, stamps kept", Answers.Vibration, "%", [1, 2, 4, 10, 20, 50], s => s.Imu.Take(RandomRows(s))),
        DamageKind.Of(
            "rows lost at random, stamps evened at the nominal rate",
            Answers.All,
            "%",
            [1, 2, 4, 10, 20, 50],
            s => s.Imu.TakeButStamps(RandomRows(s))
        ),
        DamageKind.Of(
            "rows lost at random, stamps evened over the flight",
            Answers.Vibration,
            "%",
            [1, 2, 4, 10, 20, 50],
            s => Spread(s, RandomRows(s))
        ),
        DamageKind.Of("blocks of rows lost, stamps kept", Answers.Vibration, "%", [2, 5, 20, 50], s => s.Imu.Take(Outside(s, 0.1, 2))),
        DamageKind.Of(
            "blocks of rows lost, stamps evened at the nominal rate",
            Answers.All,
            "%",
            [2, 5, 20, 50],
            s => s.Imu.TakeButStamps(Outside(s, 0.1, 2))
        ),
        DamageKind.Of(
            "blocks of rows lost, stamps evened over the flight",
            Answers.Vibration,
            "%",
            [2, 5, 20, 50],
            s => Spread(s, Outside(s, 0.1, 2))
        ),
        DamageKind.Of(
            "short blocks of rows lost, stamps kept",
            Answers.Vibration,
            "%",
            [2, 5, 20, 50],
            s => s.Imu.Take(Outside(s, 0.005, 0.03))
        ),
        DamageKind.Of(
            "short blocks of rows lost, stamps evened over the flight",
            Answers.Vibration,
            "%",
            [2, 5, 20, 50],
            s => Spread(s, Outside(s, 0.005, 0.03))
        ),
        DamageKind.Of(
            "a block lost every second (buffer written), stamps kept",
            Answers.Vibration,
            "ms",
            [20, 100, 400],
            s => s.Imu.Take(Regular(s))
        ),
        DamageKind.Of("a block lost every second, stamps evened", Answers.Vibration, "ms", [20, 100, 400], s => Spread(s, Regular(s))),
        DamageKind.Of("rows doubled", Answers.Vibration, "%", [1, 5, 20, 100], s => s.Imu.Take(Doubled(s))),
        DamageKind.Of("rows doubled, stamps evened over the flight", Answers.Vibration, "%", [1, 5, 20, 100], s => Spread(s, Doubled(s))),
        DamageKind.Of("a block written twice, stamps evened", Answers.All, "blocks", [1, 10, 60], s => Spread(s, Repeated(s))),
        DamageKind.Of("a block written twice, stamps kept", Answers.Vibration, "blocks", [1, 10, 60], s => s.Imu.Take(Repeated(s))),
        DamageKind.Of("rows shuffled", Answers.Vibration, "rows apart", [3, 20, 500], s => s.Imu.Take(Shuffled(s))),
        DamageKind.Of(
            "rows shuffled under even stamps",
            Answers.Vibration,
            "rows apart",
            [3, 20, 500],
            s => s.Imu.TakeButStamps(Shuffled(s))
        ),
        DamageKind.Of(
            "all rows shuffled under even stamps",
            Answers.All,
            s =>
            {
                int[] rows = [.. Enumerable.Range(0, s.Imu.Rows)];
                s.Random.Shuffle(rows);
                s.Imu.TakeButStamps(rows);
            }
        ),
        DamageKind.Of("neighbouring rows swapped", Answers.Vibration, "%", [1, 5, 20, 50], s => s.Imu.Take(Swapped(s))),
        DamageKind.Of(
            "neighbouring rows swapped under even stamps",
            Answers.Vibration,
            "%",
            [1, 5, 20, 50],
            s => s.Imu.TakeButStamps(Swapped(s))
        ),
        DamageKind.Of("blocks swapped under even stamps", Answers.All, "s", [0.05, 0.5, 5], s => s.Imu.TakeButStamps(BlocksSwapped(s))),
        DamageKind.Of("rows in falling order of time", Answers.All, s => s.Imu.Take([.. Enumerable.Range(0, s.Imu.Rows).Reverse()])),
        DamageKind.Of("rows of a stretch cut out of the middle, stamps closed up", Answers.All, "s", [0.5, 3, 15], Closed),
    ];

    private static int[] RandomRows(DamageScene s) => [.. Enumerable.Range(0, s.Imu.Rows).Where(_ => !s.Chance(s.Severity / 100))];

    private static int[] Outside(DamageScene s, double fromS, double toS)
    {
        bool[] lost = s.Stretches(s.Imu, s.Severity / 100, fromS, toS);
        return [.. Enumerable.Range(0, s.Imu.Rows).Where(i => !lost[i])];
    }

    private static int[] Regular(DamageScene s)
    {
        double[] times = s.Imu.TimesS();
        return [.. Enumerable.Range(0, times.Length).Where(i => times[i] - Math.Floor(times[i]) >= s.Severity / 1000)];
    }

    private static int[] Doubled(DamageScene s) =>
        [.. Enumerable.Range(0, s.Imu.Rows).SelectMany(i => s.Chance(s.Severity / 100) ? new[] { i, i } : [i])];

    private static int[] Repeated(DamageScene s)
    {
        int length = (int)(0.5 * s.Imu.Rows / (s.Imu.TimesS()[^1] - s.Imu.TimesS()[0]));
        HashSet<int> starts = [.. Enumerable.Range(0, (int)s.Severity).Select(_ => s.Random.Next(s.Imu.Rows / length - 1) * length)];
        bool Again(int i) => i >= length && i % length == 0 && starts.Contains(i - length);
        return [.. Enumerable.Range(0, s.Imu.Rows).SelectMany(i => Again(i) ? Enumerable.Range(i - length, length).Append(i) : [i])];
    }

    private static int[] Shuffled(DamageScene s)
    {
        double[] keys = [.. Enumerable.Range(0, s.Imu.Rows).Select(i => i + s.Severity * s.Random.NextDouble())];
        int[] rows = [.. Enumerable.Range(0, s.Imu.Rows)];
        Array.Sort(keys, rows);
        return rows;
    }

    private static int[] Swapped(DamageScene s)
    {
        int[] rows = [.. Enumerable.Range(0, s.Imu.Rows)];
        for (int i = 0; i + 1 < rows.Length; i += 2)
        {
            if (s.Chance(s.Severity / 100))
            {
                (rows[i], rows[i + 1]) = (rows[i + 1], rows[i]);
            }
        }

        return rows;
    }

    private static int[] BlocksSwapped(DamageScene s)
    {
        double[] times = s.Imu.TimesS();
        int length = Math.Max(1, (int)(s.Severity * times.Length / (times[^1] - times[0]))),
            count = times.Length / length;
        int[] blocks = [.. Enumerable.Range(0, count)];
        for (int b = 0; b + 1 < count; b += 2)
        {
            if (s.Chance(0.4))
            {
                (blocks[b], blocks[b + 1]) = (blocks[b + 1], blocks[b]);
            }
        }

        return [.. blocks.SelectMany(b => Enumerable.Range(b * length, length))];
    }

    private static void Closed(DamageScene s)
    {
        double at = DamageScene.MomentS(s.Imu, s.Uniform(0.3, 0.6));
        int from = s.Imu.RowAt(at),
            to = s.Imu.RowAt(at + s.Severity);
        s.Imu.TakeButStamps([.. Enumerable.Range(0, from), .. Enumerable.Range(to, s.Imu.Rows - to)]);
    }

    /// <summary>Keeps the given rows and spaces their timestamps evenly from the first timestamp of the flight to the last.</summary>
    private static void Spread(DamageScene s, int[] rows)
    {
        double first = s.Imu.Time.Values[0],
            last = s.Imu.Time.Values[^1];
        s.Imu.Take(rows);
        s.Imu.Time.Values = [.. Enumerable.Range(0, rows.Length).Select(i => first + (last - first) * i / (rows.Length - 1))];
    }
}
