using VibeCheck.Core.Statistics;
using Tuning = VibeCheck.Core.Orders.SpeedSearch.SpeedSearchTuning.Naming;

namespace VibeCheck.Core.Orders.SpeedSearch;

/// <summary>Which motor makes which line: the assignment that explains most, every line made by one motor at least.</summary>
internal sealed class MotorNaming
{
    private const int BitsPerLine = 5;

    private readonly IReadOnlyList<SpeedProfile> _profiles;
    private readonly double[][] _hz;
    private readonly double[][][] _levels;
    private readonly Func<int, int, bool> _allowed;
    private readonly double _windowS;
    private readonly int _lines;

    /// <param name="profiles">One a motor.</param>
    /// <param name="lines">Lines found, fewer than 16.</param>
    /// <param name="windowS">Length of the windows, s.</param>
    /// <param name="allowed">Whether a motor may make a line: false where its speed is known and elsewhere.</param>
    internal MotorNaming(IReadOnlyList<SpeedProfile> profiles, IReadOnlyList<Ridge> lines, double windowS, Func<int, int, bool> allowed)
    {
        _profiles = profiles;
        _windowS = windowS;
        _allowed = allowed;
        _lines = lines.Count;
        _hz = [.. profiles.Select(p => lines.Select(l => p.Grid.HzOf(p.BestNear(l.Hz, Tuning.Reach / windowS))).ToArray())];
        _levels = [.. profiles.Select((p, m) => _hz[m].Select(p.ByWindow).ToArray())];
        Lines = Solve(allowed);
    }

    /// <summary>The line of each motor; null when no assignment is allowed.</summary>
    internal int[]? Lines { get; }

    /// <summary>Rotor frequency at which a motor's own shape shows its line best, Hz.</summary>
    internal double HzOf(int motor) => _hz[motor][Lines![motor]];

    internal bool Shares(int motor) => Lines!.Count(l => l == Lines![motor]) > 1;

    internal IEnumerable<int> With(int motor) => Enumerable.Range(0, Lines!.Length).Where(m => m != motor && Lines[m] == Lines[motor]);

    /// <summary>By how many standard deviations the assignment beats the best in which a motor makes another line; infinite when there
    /// is none.</summary>
    internal double Lead(int motor)
    {
        double own = HzOf(motor);
        if (Solve((m, l) => _allowed(m, l) && (m != motor || Math.Abs(_hz[m][l] - own) >= Tuning.SameLine / _windowS)) is not { } other)
        {
            return double.PositiveInfinity;
        }

        double[] lead = new double[_profiles.Min(p => p.Windows)];
        for (int m = 0; m < other.Length; m++)
        {
            for (int w = 0; w < lead.Length && Lines![m] != other[m]; w++)
            {
                lead[w] += _levels[m][Lines[m]][w] - _levels[m][other[m]][w];
            }
        }

        return Deviations(lead);
    }

    /// <summary>By how many standard deviations a motor's shape fits the vibration at its own place better than that of any other
    /// motor with the same line does.</summary>
    /// <param name="motor">The motor.</param>
    /// <param name="amongAll">Held against all motors, not only those with the same line.</param>
    internal double Ownership(int motor, bool amongAll)
    {
        double[] own = _levels[motor][Lines![motor]];
        double least = double.PositiveInfinity;
        foreach (int m in amongAll ? Enumerable.Range(0, _profiles.Count).Where(m => m != motor) : With(motor))
        {
            int column = _profiles[m].BestNear(HzOf(motor), Tuning.OthersReach / _windowS);
            double[] other = _profiles[m].ByWindow(_profiles[m].Grid.HzOf(column));
            least = Math.Min(least, Deviations([.. own.Zip(other, (a, b) => a - b)]));
        }

        return least;
    }

    private static double Deviations(double[] values)
    {
        DependentMean mean = DependentMean.Of(values);
        return mean.EffectiveCount < 3 || !(mean.StandardError > 0) ? 0 : mean.Mean / mean.StandardError;
    }

    /// <summary>Motor by motor over the sets of lines made so far.</summary>
    private int[]? Solve(Func<int, int, bool> allowed)
    {
        int motors = _levels.Length,
            sets = 1 << _lines;
        double[] most = new double[sets];
        Array.Fill(most, double.NegativeInfinity);
        most[0] = 0;
        int[][] came = new int[motors][];
        for (int m = 0; m < motors; m++)
        {
            double[] after = new double[sets],
                means = [.. _levels[m].Select(l => l.Average())];
            Array.Fill(after, double.NegativeInfinity);
            came[m] = new int[sets];
            for (int set = 0; set < sets; set++)
            {
                for (int l = 0; l < _lines && !double.IsNegativeInfinity(most[set]); l++)
                {
                    if (allowed(m, l) && most[set] + means[l] > after[set | (1 << l)])
                    {
                        after[set | (1 << l)] = most[set] + means[l];
                        came[m][set | (1 << l)] = (set << BitsPerLine) | l;
                    }
                }
            }

            most = after;
        }

        return double.IsNegativeInfinity(most[sets - 1]) ? null : Back(came, sets - 1);
    }

    private static int[] Back(int[][] came, int set)
    {
        int[] lines = new int[came.Length];
        for (int m = came.Length - 1; m >= 0; m--)
        {
            lines[m] = came[m][set] & ((1 << BitsPerLine) - 1);
            set = came[m][set] >> BitsPerLine;
        }

        return lines;
    }
}
