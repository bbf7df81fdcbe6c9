using VibeCheck.Core.Tracks;

namespace VibeCheck.FlightMaker;

/// <summary>Simulates the ESC telemetry: speed with latency, noise and quantisation; currents; temperatures in whole degrees.</summary>
internal sealed class TelemetryMaker(FlightRecipe recipe, SpeedTrace speeds, double[] meanRpm, int seed)
{
    /// <summary>Current of one motor at an equal hover share, A.</summary>
    private const double HoverCurrentA = 6.5;

    internal IReadOnlyList<MotorTrack> Make(double totalS)
    {
        int count = (int)(totalS * recipe.TelemetryHz);
        var stamps = new double[count];
        var trueTime = new double[count];
        var random = new Random(seed);
        for (int i = 0; i < count; i++)
        {
            trueTime[i] = i / recipe.TelemetryHz + 0.1 / recipe.TelemetryHz * random.NextDouble();
            stamps[i] = trueTime[i] * (1 + recipe.EscClockPpm * 1e-6) + recipe.EscClockOffsetS;
        }

        return recipe.Airframe.Motors.Select((motor, m) => Track(motor.Id, m, stamps, trueTime, random)).ToArray();
    }

    private MotorTrack Track(string id, int m, double[] stamps, double[] trueTime, Random random)
    {
        double[] rpm = Reported(m, trueTime, random);
        // Motors keep the heat of an earlier flight longer than ESCs, and not all equally; only cold units agree.
        double motorSoak = recipe.SoakC * (0.85 + 0.3 * m / Math.Max(1, meanRpm.Length - 1)),
            escSoak = recipe.SoakC * (0.4 + 0.2 * m / Math.Max(1, meanRpm.Length - 1));
        double[] load = Array.ConvertAll(trueTime, t => Math.Pow(speeds.Rpm(m, t) / meanRpm[m], 3));
        double share = Math.Pow(meanRpm[m] / recipe.HoverRpm, 3);
        double motorRise = recipe.MotorRiseC.Count > m ? recipe.MotorRiseC[m] : 25;
        double escRise = recipe.EscRiseC.Count > m ? recipe.EscRiseC[m] : 18;
        return new MotorTrack
        {
            MotorId = id,
            Rpm = new Series(stamps, rpm),
            Command = new Series(
                stamps,
                Array.ConvertAll(trueTime, t => Step(0.45 * Math.Pow(speeds.Rpm(m, t) / recipe.HoverRpm, 1.3), 0.001))
            ),
            CurrentA = new Series(
                stamps,
                [
                    .. load.Zip(
                        trueTime,
                        (p, t) => Step(Math.Max(0, HoverCurrentA * share * p * AtBattery(t) + 0.05 * SpeedTrace.Gauss(random)), 0.01)
                    ),
                ]
            ),
            VoltageV = new Series(stamps, Array.ConvertAll(trueTime, t => Step(Volts(t) - (speeds.Rpm(m, t) > 0 ? 0.4 : 0), 0.01))),
            MotorTempC = Temperature(stamps, trueTime, load, motorRise, recipe.MotorTauS, motorSoak),
            EscTempC = Temperature(stamps, trueTime, load, escRise, recipe.EscTauS, escSoak),
        };
    }

    private double Volts(double t) => recipe.BatteryV - recipe.BatterySagVps * t;

    private double AtBattery(double t) => recipe.CurrentFollowsBattery ? 24 / Volts(t) : 1;

    private double[] Reported(int m, double[] trueTime, Random random)
    {
        var reported = new double[trueTime.Length];
        double smooth = 0;
        int next = 0;
        double keep = recipe.TelemetrySmoothingS > 0 ? Math.Exp(-SpeedTrace.StepS / recipe.TelemetrySmoothingS) : 0;
        for (int i = 0; i < trueTime.Length; i++)
        {
            double at = trueTime[i] - recipe.TelemetryLatencyS;
            for (; next * SpeedTrace.StepS <= at; next++)
            {
                smooth = keep * smooth + (1 - keep) * speeds.Rpm(m, next * SpeedTrace.StepS);
            }

            double value = recipe.TelemetrySmoothingS > 0 ? smooth : speeds.Rpm(m, Math.Max(0, at));
            reported[i] =
                value <= 0 ? 0 : Math.Max(0, Step(value + recipe.TelemetryNoiseRpm * SpeedTrace.Gauss(random), recipe.TelemetryStepRpm));
        }

        return reported;
    }

    /// <summary>Integrates τ dT/dt = T_ambient + R p(t) - T, exactly for a load that is constant over each interval.</summary>
    private Series Temperature(double[] stamps, double[] trueTime, double[] load, double riseC, double tauS, double soakC)
    {
        var values = new double[trueTime.Length];
        double rise = soakC;
        for (int i = 0; i < values.Length; i++)
        {
            if (i > 0)
            {
                double keep = Math.Exp(-(trueTime[i] - trueTime[i - 1]) / tauS);
                rise = keep * rise + (1 - keep) * riseC * (load[i] + load[i - 1]) / 2;
            }

            values[i] = Step(recipe.AmbientC + rise, recipe.TemperatureStepC);
        }

        return new Series(stamps, values);
    }

    private static double Step(double value, double step) => step > 0 ? Math.Round(value / step) * step : value;
}
