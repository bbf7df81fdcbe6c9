using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Orders.Group;

/// <summary>Where the rotors' speed lies, chosen for all flights of a comparison together, or why it cannot be determined.</summary>
/// <param name="Hz">Rotor frequency about which each flight's own is looked for; NaN when there is none.</param>
/// <param name="Why">Why there is none; null when there is.</param>
/// <param name="Octave">Why the frequency may be a multiple of the rotors' own, so that
/// orders have no number; null when it is theirs.</param>
internal sealed record GroupSpeedChoice(double Hz, Reason? Why, Reason? Octave)
{
    // Flights of one aircraft hover within a few percent of each other.
    private const double Reach = 0.05;
    private const double OtherLog = 0.2;

    // Set on trials of seed 1 of the campaign "group".
    private const double LeastScore = 2.5;
    private const double LeastLead = 0.7;
    private const double LeastShareKept = 0.85;

    private const double MostApart = 1.6;

    /// <summary>Chooses for each flight: one speed for all, or, where the flights hover at speeds
    /// far apart that are each clear, its own.</summary>
    internal static IReadOnlyList<GroupSpeedChoice> ForEach(IReadOnlyList<SpeedCurve> flights, IReadOnlyList<double> knownHz)
    {
        GroupSpeedChoice joint = Of(flights, knownHz);
        GroupSpeedChoice[] own = joint is { Why: null, Octave: null } || knownHz.Count > 0 ? [] : [.. flights.Select(f => Of([f], []))];
        bool apart =
            own.Length > 1 && own.All(o => o is { Why: null, Octave: null }) && own.Max(o => o.Hz) / own.Min(o => o.Hz) < MostApart;
        return apart ? own : [.. flights.Select(_ => joint)];
    }

    /// <summary>Chooses.</summary>
    /// <param name="flights">One curve a flight.</param>
    /// <param name="knownHz">Mean rotor frequencies of flights whose speeds are logged; empty when none is.</param>
    internal static GroupSpeedChoice Of(IReadOnlyList<SpeedCurve> flights, IReadOnlyList<double> knownHz)
    {
        double[] joint = Joint(flights, c => c.Score);
        if (knownHz.Count > 0)
        {
            double near = knownHz.Average();
            int known = Best(joint, i => Math.Abs(Math.Log(SpeedCurve.HzOf(i) / near)) < 2 * Reach);
            return new(SpeedCurve.HzOf(known), null, null);
        }

        int best = Best(joint, _ => true);
        double hz = SpeedCurve.HzOf(best);
        if (joint[best] < LeastScore)
        {
            return new(double.NaN, new NoRotorLines(), null);
        }

        List<(double Hz, double Score)> rivals = [];
        for (int i = 0; i < joint.Length; i++)
        {
            if (Math.Abs(Math.Log(SpeedCurve.HzOf(i) / hz)) > OtherLog && joint[best] - joint[i] < LeastLead)
            {
                rivals.Add((SpeedCurve.HzOf(i), joint[i]));
            }
        }

        double[] share = Joint(flights, c => c.Share);
        foreach ((double rivalHz, double score) in rivals.OrderByDescending(r => r.Score))
        {
            bool multiple = IsMultiple(rivalHz / hz) || IsMultiple(hz / rivalHz);
            if (!multiple)
            {
                return new(double.NaN, new GroupSpeedAmbiguous(60 * Math.Min(hz, rivalHz), 60 * Math.Max(hz, rivalHz)), null);
            }
        }

        if (rivals.Count > 0)
        {
            double other = rivals.MaxBy(r => r.Score).Hz;
            return new(hz, null, new GroupSpeedAmbiguous(60 * Math.Min(hz, other), 60 * Math.Max(hz, other)));
        }

        return new(hz, null, BladesAlone(flights, hz));
    }

    /// <summary>Blades alone make lines at the blade count and twice it, which look like orders 1 and 2 of something faster.</summary>
    private static GroupSpeedAmbiguous? BladesAlone(IReadOnlyList<SpeedCurve> flights, double hz)
    {
        foreach (int blades in flights[0].Blades.Where(b => b > 1))
        {
            // Lines between the orders would belong to the slower rotor; lines that blades cannot make to the faster.
            bool odd = flights.Any(f => Enumerable.Range(2, 3).Any(k => k % blades != 0 && f.Sees(k * hz)));
            if (!odd)
            {
                return new GroupSpeedAmbiguous(60 * hz / blades, 60 * hz);
            }
        }

        return null;
    }

    private static bool IsMultiple(double ratio) => Enumerable.Range(2, 3).Any(n => Math.Abs(ratio / n - 1) < 2 * Reach);

    private static int Best(double[] joint, Func<int, bool> among)
    {
        int best = -1;
        for (int i = 0; i < joint.Length; i++)
        {
            best = among(i) && (best < 0 || joint[i] > joint[best]) ? i : best;
        }

        return Math.Max(0, best);
    }

    /// <summary>Mean over the flights of the best within their reach, smoothed over it, so
    /// that a plateau is entered at its centre.</summary>
    private static double[] Joint(IReadOnlyList<SpeedCurve> flights, Func<SpeedCurve, double[]> of)
    {
        int half = (int)(Reach / SpeedCurve.StepLog);
        double[] joint = new double[SpeedCurve.Count];
        foreach (SpeedCurve flight in flights)
        {
            double[] curve = of(flight);
            for (int i = 0; i < joint.Length; i++)
            {
                double best = double.NegativeInfinity,
                    sum = 0;
                int n = 0;
                for (int j = Math.Max(0, i - half / 2); j <= Math.Min(joint.Length - 1, i + half / 2); j++)
                {
                    best = Math.Max(best, curve[j]);
                    sum += curve[j];
                    n++;
                }

                joint[i] += (flights.Count == 1 ? curve[i] : 0.7 * best + 0.3 * sum / n) / flights.Count;
            }
        }

        return joint;
    }
}
