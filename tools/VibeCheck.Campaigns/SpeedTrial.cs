using VibeCheck.Core.Orders.SpeedSearch;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;

namespace VibeCheck.Campaigns;

/// <summary>The data besides the vibration in the log of a trial of the speed search.</summary>
internal enum SpeedLog
{
    /// <summary>Commands of all motors.</summary>
    Commands,

    /// <summary>Nothing.</summary>
    Nothing,

    /// <summary>Speeds of all but one motor, and commands.</summary>
    OneMissing,

    /// <summary>Speeds of all but one motor, no commands.</summary>
    OneMissingNoCommands,
}

/// <summary>One simulated hover without logged speeds, or without those of one motor.</summary>
internal sealed record SpeedTrial(
    int Number,
    FlightRecipe Recipe,
    SpeedLog Log,
    CommandForm Commands,
    bool FixedLine,
    bool Mode,
    bool Balanced
)
{
    private static readonly double[] s_rates = [500, 1000, 1000, 2000];
    private static readonly double[] s_commandHz = [10, 25, 50, 100];

    internal static SpeedTrial Draw(int number, int seed, SpeedLog? log)
    {
        var random = new Random(seed * 99_991 + number);
        OrderTrial drawn = OrderTrial.Draw(number, seed + 1000, 0.005);
        FlightRecipe recipe = drawn.Recipe with
        {
            SpeedSpread = Math.Pow(10, In(random, -2.7, -1.3)),
            ImuRateHz = s_rates[random.Next(s_rates.Length)],
            TelemetryHz = 100,
            TelemetryLatencyS = 0,
            TelemetrySmoothingS = 0,
            TelemetryNoiseRpm = 0,
            TelemetryStepRpm = 0,
            EscClockPpm = 0,
            HoverS = random.Next(4) == 0 ? In(random, 12, 20) : In(random, 30, 60),
        };
        var form = new CommandForm(
            In(random, 0.5, 1),
            In(random, 0.02, 0.1),
            In(random, 0, 0.02),
            In(random, 0, 0.0015),
            In(random, 0, 0.005),
            random.Next(2) == 0 ? 0 : In(random, 0, 0.03),
            s_commandHz[random.Next(s_commandHz.Length)],
            0.001
        );
        bool hum = random.Next(3) == 0,
            mode = random.Next(3) == 0,
            balanced = random.Next(8) == 0;
        SpeedLog drawnLog = random.Next(10) switch
        {
            < 5 => SpeedLog.Commands,
            < 6 => SpeedLog.Nothing,
            < 8 => SpeedLog.OneMissing,
            _ => SpeedLog.OneMissingNoCommands,
        };
        return new(
            number,
            balanced ? recipe with { Rotors = [.. recipe.Rotors.Select(Balance)] } : recipe,
            log ?? drawnLog,
            form,
            hum,
            mode,
            balanced
        );
    }

    /// <summary>A rotor so well balanced that hardly anything but its blade-pass orders can be detected.</summary>
    private static RotorSource Balance(RotorSource rotor)
    {
        int blades = (int)rotor.Orders.Max(o => o.Order) / 2;
        return new([.. rotor.Orders.Select(o => o.Order % blades == 0 ? o : o with { RmsMps2 = 0.02 * o.RmsMps2 })]);
    }

    /// <summary>Makes the trial's log and truth.</summary>
    internal SpeedScene Make()
    {
        SimulatedFlight made = SimulatedFlight.Make(Recipe);
        var random = new Random(Recipe.Seed ^ 0x51eed);
        IReadOnlyList<Series> truth = [.. made.Flight.Motors.Select(m => m.Rpm!)];
        int missing = random.Next(truth.Count);
        IReadOnlyList<SpeedPrior> leads =
        [
            .. Recipe.Airframe.Motors.Select(
                (m, i) =>
                    new SpeedPrior(
                        m.Id,
                        m.Blades,
                        Log is SpeedLog.Commands or SpeedLog.OneMissing ? Commands.Of(truth[i], random) : null,
                        Log is (SpeedLog.OneMissing or SpeedLog.OneMissingNoCommands) && i != missing ? Reported(truth[i], random) : null
                    )
            ),
        ];
        return new(WithStructure(made.Flight.Imu, random), made.Truth, leads, truth);
    }

    private static Series Reported(Series truth, Random random)
    {
        // 20 readings per second, 40 ms late, rounded to whole rpm.
        int[] kept = [.. Enumerable.Range(0, truth.Count / 5).Select(i => 5 * i)];
        return new(
            [.. kept.Select(i => truth.TimeS[i])],
            [.. kept.Select(i => Math.Round(truth.At(truth.TimeS[i] - 0.04) + 3 * Gauss(random)))]
        );
    }

    /// <summary>Adds vibration that does not come from the rotors: a steady hum, and a mode of the frame that the air excites.</summary>
    private ImuTrack WithStructure(ImuTrack imu, Random random)
    {
        double[][] axes =
        [
            [.. imu.AccXMps2],
            [.. imu.AccYMps2],
            [.. imu.AccZMps2],
        ];
        double rotorHz = Recipe.HoverRpm / 60,
            humHz = In(random, 0.4, 2.5) * rotorHz,
            hum = In(random, 0.1, 0.6);
        double modeHz = In(random, 0.4, 2.5) * rotorHz,
            damping = In(random, 0.005, 0.03),
            size = In(random, 0.1, 0.5);
        double w = 2 * Math.PI * modeHz / imu.RateHz,
            r = Math.Exp(-damping * w),
            a1 = 2 * r * Math.Cos(w),
            a2 = -r * r;
        double kick = Math.Sqrt((1 + a2) * ((1 - a2) * (1 - a2) - a1 * a1) / (1 - a2)) * size;
        foreach (double[] axis in axes)
        {
            double y1 = 0,
                y2 = 0,
                phase = In(random, 0, 6.28);
            for (int i = 0; i < axis.Length; i++)
            {
                double y = a1 * y1 + a2 * y2 + kick * Gauss(random);
                (y2, y1) = (y1, y);
                axis[i] += (Mode ? y : 0) + (FixedLine ? hum * Math.Sin(2 * Math.PI * humHz * i / imu.RateHz + phase) : 0);
            }
        }

        return imu with
        {
            AccXMps2 = axes[0],
            AccYMps2 = axes[1],
            AccZMps2 = axes[2],
        };
    }

    internal static double In(Random random, double from, double to) => from + (to - from) * random.NextDouble();

    internal static double Gauss(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}

/// <summary>The input of a trial to the search, and its true values.</summary>
/// <param name="Imu">The vibration.</param>
/// <param name="Flight">The true values of the flight.</param>
/// <param name="Leads">The prior knowledge of each motor from the log.</param>
/// <param name="Truth">True speeds, rpm, 100 per second, one series per motor.</param>
internal sealed record SpeedScene(ImuTrack Imu, FlightTruth Flight, IReadOnlyList<SpeedPrior> Leads, IReadOnlyList<Series> Truth)
{
    internal TimeInterval Hover => Flight.Hover;
}

/// <summary>The relation between simulated commands and speeds.</summary>
/// <param name="Power">The speed is proportional to the command to this power.</param>
/// <param name="LagS">Time constant of motor and propeller, s.</param>
/// <param name="Spread">How much the response differs between motors, one sigma, share of the command.</param>
/// <param name="Gust">Effect of the air on a speed that the command does not show, one sigma, share.</param>
/// <param name="Noise">White noise of the command, share.</param>
/// <param name="SagPerMinute">Increase of the command as the battery empties, share per minute.</param>
/// <param name="Hz">Readings per second.</param>
/// <param name="Step">Step of the readings.</param>
internal sealed record CommandForm(
    double Power,
    double LagS,
    double Spread,
    double Gust,
    double Noise,
    double SagPerMinute,
    double Hz,
    double Step
)
{
    /// <summary>The command of a motor whose speed, 100 readings per second, is known.</summary>
    internal Series Of(Series truth, Random random)
    {
        double answer = 1 + Spread * SpeedTrial.Gauss(random),
            top = truth.Values.Max(),
            gust = 0,
            keep = Math.Exp(-0.01 / 0.5);
        double[] values = new double[truth.Count];
        for (int i = 0; i < values.Length; i++)
        {
            gust = keep * gust + Gust * Math.Sqrt(1 - keep * keep) * SpeedTrial.Gauss(random);
            double slope = i == 0 || i + 1 == values.Length ? 0 : (truth.Values[i + 1] - truth.Values[i - 1]) / 0.02;
            double wanted = Math.Max(0, truth.Values[i] + LagS * slope) / top * (1 + gust);
            double sag = 1 + SagPerMinute * truth.TimeS[i] / 60;
            double command = 0.5 * answer * sag * Math.Pow(wanted, 1 / Power) * (1 + Noise * SpeedTrial.Gauss(random));
            values[i] = Math.Clamp(Math.Round(command / Step) * Step, 0, 1);
        }

        int every = (int)Math.Round(100 / Hz);
        int[] kept = [.. Enumerable.Range(0, truth.Count / every).Select(i => i * every)];
        return new([.. kept.Select(i => truth.TimeS[i])], [.. kept.Select(i => values[i])]);
    }
}
