using VibeCheck.Core.Tracks;

namespace VibeCheck.FlightMaker;

/// <summary>One motor or ESC that warms up in a flight of 2.5 to 4 minutes, with parameters drawn from a wide range and a known steady
/// rise.</summary>
public sealed record HeatingTrial
{
    private const double StepS = 0.02;

    public required Series TempC { get; init; }

    /// <summary>Current as reported by telemetry, A.</summary>
    public required Series CurrentA { get; init; }

    public required double AmbientC { get; init; }

    public required IReadOnlyList<TimeInterval> Hover { get; init; }

    /// <summary>Steady rise at the mean hover load, °C.</summary>
    public required double TrueRiseC { get; init; }

    public required double TrueTauS { get; init; }

    /// <summary>Makes a trial; the same seed gives the same trial.</summary>
    /// <param name="seed">Seed of all random numbers.</param>
    /// <param name="stepC">Quantisation step of the reported temperature, °C.</param>
    /// <param name="noiseC">Noise before rounding, one standard deviation, °C.</param>
    /// <param name="bodies">Second thermal body inside the unit; null for one body.</param>
    public static HeatingTrial Make(int seed, double stepC = 1, double noiseC = 0, InnerBody? bodies = null)
    {
        var random = new Random(seed);
        double Uniform(double low, double high) => low + (high - low) * random.NextDouble();
        double tauS = Uniform(35, 130),
            hoverS = Uniform(150, 240),
            groundS = Uniform(3, 20),
            riseC = Uniform(12, 60),
            ambientC = Uniform(-5, 38);
        double soakC = random.Next(2) == 0 ? 0 : Uniform(0, 15),
            drift = Uniform(-0.05, 0.05),
            swing = Uniform(0, 0.06),
            swingS = Uniform(15, 60);
        double rateHz = new[] { 1.0, 4, 10, 20 }[random.Next(4)];
        double hoverFromS = groundS + 4,
            endS = hoverFromS + hoverS;
        int count = (int)(endS / StepS);
        double[] load = new double[count],
            rise = new double[count];
        double[] wander = SpeedTrace.OrnsteinUhlenbeck(random, (int)(endS / SpeedTrace.StepS) + 2, 1.5, 0.04);
        double sum = 0,
            caseRise = soakC;
        int inHover = 0;
        for (int i = 0; i < count; i++)
        {
            double t = i * StepS;
            load[i] =
                t < groundS
                    ? 0
                    : 1 + swing * Math.Sin(2 * Math.PI * t / swingS) + drift * (t / endS - 0.5) + wander[(int)(t / SpeedTrace.StepS)];
            load[i] *= t < hoverFromS ? 1.3 : 1;
            (rise[i], caseRise) =
                i == 0 ? (soakC, soakC)
                : bodies is null ? (rise[i - 1] + StepS / tauS * (riseC * load[i - 1] - rise[i - 1]), 0)
                : bodies.Next(rise[i - 1], caseRise, riseC * load[i - 1], tauS, StepS);
            if (t >= hoverFromS)
            {
                sum += load[i];
                inHover++;
            }
        }

        int thin = (int)Math.Round(1 / rateHz / StepS),
            offset = random.Next(thin);
        int[] at = [.. Enumerable.Range(0, (count - offset) / thin).Select(i => offset + i * thin)];
        double[] timeS = Array.ConvertAll(at, i => i * StepS);
        return new HeatingTrial
        {
            TempC = new Series(
                timeS,
                Array.ConvertAll(at, i => Math.Round((ambientC + rise[i] + noiseC * SpeedTrace.Gauss(random)) / stepC) * stepC)
            ),
            CurrentA = new Series(
                timeS,
                Array.ConvertAll(at, i => Math.Round(800 * Math.Sqrt(Math.Max(0, load[i])) + 4 * SpeedTrace.Gauss(random)) / 100)
            ),
            AmbientC = ambientC,
            Hover = [new TimeInterval(hoverFromS, endS)],
            TrueRiseC = riseC * sum / inHover,
            TrueTauS = tauS,
        };
    }
}
