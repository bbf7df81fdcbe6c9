using VibeCheck.Core.Tracks;

namespace VibeCheck.FlightMaker;

/// <summary>True speed and angle of every rotor on a 1 kHz grid of true time.</summary>
internal sealed class SpeedTrace
{
    internal const double StepS = 0.001;

    private readonly double[][] _rpm;
    private readonly double[][] _angleRad;

    private SpeedTrace(double[][] rpm, double[][] angleRad)
    {
        _rpm = rpm;
        _angleRad = angleRad;
    }

    internal int Count => _rpm[0].Length;

    internal static SpeedTrace Make(FlightRecipe recipe, Random random, double[] meanRpm)
    {
        double totalS = recipe.GroundS + recipe.ClimbS + recipe.HoverS + recipe.LandingS;
        int count = (int)Math.Ceiling(totalS / StepS) + 200;
        double[] common = Manoeuvres(recipe, count, random);
        var rpm = new double[meanRpm.Length][];
        var angle = new double[meanRpm.Length][];
        for (int m = 0; m < meanRpm.Length; m++)
        {
            double[] slow = OrnsteinUhlenbeck(random, count, recipe.WanderS, recipe.Wander);
            double[] fast = OrnsteinUhlenbeck(random, count, 0.2, recipe.FastWander);
            rpm[m] = new double[count];
            angle[m] = new double[count];
            double phi = random.NextDouble() * 2 * Math.PI;
            for (int i = 0; i < count; i++)
            {
                double envelope = Envelope(recipe, i * StepS);
                rpm[m][i] = meanRpm[m] * envelope * (1 + (envelope > 0.3 ? slow[i] + fast[i] + common[i] : 0));
                if (i > 0)
                {
                    phi += (rpm[m][i] + rpm[m][i - 1]) * (Math.PI / 60) * StepS;
                }

                angle[m][i] = phi;
            }
        }

        return new(rpm, angle);
    }

    internal double Rpm(int motor, double timeS) => Interpolate(_rpm[motor], timeS);

    /// <summary>Rotor angle, rad, by cubic Hermite interpolation between grid points; the slope is the speed on the grid.</summary>
    internal double AngleRad(int motor, double timeS)
    {
        double x = timeS / StepS;
        int i = Math.Clamp((int)x, 0, Count - 2);
        double u = Math.Clamp(x - i, 0, 1);
        double a = _angleRad[motor][i],
            b = _angleRad[motor][i + 1];
        double da = _rpm[motor][i] * (Math.PI / 30) * StepS,
            db = _rpm[motor][i + 1] * (Math.PI / 30) * StepS;
        double d = b - a;
        return a + u * (da + u * (3 * d - 2 * da - db + u * (da + db - 2 * d)));
    }

    internal double MeanRpm(int motor, IReadOnlyList<TimeInterval> over)
    {
        double sum = 0;
        long n = 0;
        foreach (TimeInterval s in over)
        {
            for (int i = (int)(s.FromS / StepS); i <= (int)(s.ToS / StepS) && i < Count; i++)
            {
                sum += _rpm[motor][i];
                n++;
            }
        }

        return sum / n;
    }

    private static double Interpolate(double[] grid, double timeS)
    {
        double x = timeS / StepS;
        int i = Math.Clamp((int)x, 0, grid.Length - 2);
        double u = Math.Clamp(x - i, 0, 1);
        return grid[i] + u * (grid[i + 1] - grid[i]);
    }

    /// <summary>0 on the ground, rising to 1 in the climb (slightly above 1 while climbing), 1 in hover, falling at the landing.</summary>
    private static double Envelope(FlightRecipe r, double t)
    {
        double climbFrom = r.GroundS,
            hoverFrom = climbFrom + r.ClimbS,
            landFrom = hoverFrom + r.HoverS,
            end = landFrom + r.LandingS;
        if (t < climbFrom || t >= end)
        {
            return 0;
        }

        if (t < hoverFrom)
        {
            double u = (t - climbFrom) / r.ClimbS;
            return u < 0.3 ? Smooth(u / 0.3) : 1 + 0.08 * Math.Pow(Math.Sin(Math.PI * (u - 0.3) / 0.7), 2);
        }

        return t < landFrom ? 1 : Smooth((end - t) / r.LandingS);
    }

    private static double Smooth(double u) => u * u * (3 - 2 * u);

    private static double[] Manoeuvres(FlightRecipe recipe, int count, Random random)
    {
        var bump = new double[count];
        foreach (double at in recipe.ManoeuvresAtS)
        {
            double sign = random.Next(2) == 0 ? -1 : 1;
            for (int i = (int)(at / StepS); i < Math.Min(count, (int)((at + 3) / StepS)); i++)
            {
                double u = (i * StepS - at) / 3;
                bump[i] += sign * 0.12 * Math.Sin(2 * Math.PI * u) * Math.Pow(Math.Sin(Math.PI * u), 2);
            }
        }

        return bump;
    }

    internal static double[] OrnsteinUhlenbeck(Random random, int count, double correlationS, double sigma)
    {
        double keep = Math.Exp(-StepS / correlationS),
            kick = sigma * Math.Sqrt(1 - keep * keep);
        // A second pole smooths the random process, because real rotors have inertia.
        double soft = Math.Exp(-StepS / (0.25 * correlationS));
        var x = new double[count];
        double raw = sigma * Gauss(random),
            y = raw;
        double restore = Math.Sqrt(1 + 0.25);
        for (int i = 0; i < count; i++)
        {
            raw = keep * raw + kick * Gauss(random);
            y = soft * y + (1 - soft) * raw;
            x[i] = y * restore;
        }

        return x;
    }

    internal static double Gauss(Random random)
    {
        double u = 1 - random.NextDouble(),
            v = random.NextDouble();
        return Math.Sqrt(-2 * Math.Log(u)) * Math.Cos(2 * Math.PI * v);
    }
}
