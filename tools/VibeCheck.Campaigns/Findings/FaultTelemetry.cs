using VibeCheck.Core.Tracks;

namespace VibeCheck.Campaigns.Findings;

/// <summary>The ESC reports of a simulated flight: speed, command, current, voltage, temperatures of motor and ESC.</summary>
/// <remarks>A motor model of torque, back-EMF and resistance: the command is the voltage that speed and torque need, divided by the battery
/// voltage.</remarks>
internal sealed class FaultTelemetry(FaultTrial trial, FaultRun run)
{
    private const double CellV = 4.1,
        Cells = 6;
    private readonly Random _random = new(trial.Seed ^ 0x7a11);

    internal (IReadOnlyList<MotorTrack> Motors, Series Battery) Make()
    {
        MadeAircraft a = trial.Aircraft;
        int n = a.Airframe.Motors.Count,
            count = (int)(run.Count * run.DtS * a.TelemetryHz);
        double[] timeS = [.. Enumerable.Range(0, count).Select(i => (i + 0.2 * _random.NextDouble()) / a.TelemetryHz)];
        double[][] speed = Rows(n, count),
            command = Rows(n, count),
            current = Rows(n, count),
            motorC = Rows(n, count),
            escC = Rows(n, count);
        double[] volts = new double[count];
        double ambient = 18,
            usualA = 8,
            lost = trial.Is("sagging-battery") ? trial.Amount : 0.02 + 0.02 * a.Gust / 0.012,
            resistance = lost * Cells * CellV / (usualA * n),
            used = 0,
            settled = 0,
            headroom = trial.Is("at-full-command") ? HeadroomFor(trial.Amount) : 0,
            tauM = MadeAircraft.In(_random, 50, 90),
            tauE = MadeAircraft.In(_random, 30, 60);
        double[] motor = [.. Enumerable.Repeat(ambient, n)],
            esc = [.. Enumerable.Repeat(ambient, n)];
        double[] noise = new double[n];
        for (int i = 0; i < count; i++)
        {
            double totalA = 0,
                dt = 1 / a.TelemetryHz;
            int at = Math.Clamp((int)(timeS[i] / run.DtS), 0, run.Count - 1),
                late = Math.Clamp((int)((timeS[i] - a.LatencyS) / run.DtS), 0, run.Count - 1);
            double pack = i > 0 ? volts[i - 1] : Cells * CellV;
            for (int m = 0; m < n; m++)
            {
                bool mine = m == trial.Motor;
                double share = run.Hz[m][at] / a.HoverHz,
                    torque = a.TorqueFactor[m] * share * share * (mine && trial.Is("draws-more") ? trial.Amount : 1),
                    need = a.HoverCommand * (0.82 * share + 0.18 * torque) * Cells * CellV / pack,
                    dropped = mine && trial.Is("speed-drops") && share < 1 - 0.5 * trial.Amount && share > 0.2 ? a.HoverCommand : 0,
                    set = Math.Max(need, dropped);
                noise[m] = 0.7 * noise[m] + 0.004 * MadeAircraft.Gauss(_random);
                if (mine && trial.Is("at-full-command"))
                {
                    set = set / a.HoverCommand * headroom;
                    noise[m] += set > 0.2 ? 0.015 * MadeAircraft.Gauss(_random) : 0;
                }

                double amps = usualA * torque * (0.82 * share + 0.18 * torque);
                totalA += amps;
                speed[m][i] = Step(Math.Max(0, 60 * run.Hz[m][late] + (share > 0.05 ? 2.5 * MadeAircraft.Gauss(_random) : 0)), a.StepRpm);
                command[m][i] = Step(share > 0.05 ? Math.Clamp(set + noise[m], 0, 1) : 0, 0.001);
                current[m][i] = Step(Math.Max(0, a.CurrentGain[m] * amps + 0.08 * MadeAircraft.Gauss(_random)), 0.01);
                double heatM =
                        a.MotorRiseC
                        * torque
                        * torque
                        * a.MotorHeat[m]
                        * (mine && trial.Is("hot-motor") && timeS[i] >= trial.BeginsS ? trial.Amount : 1),
                    heatE = a.EscRiseC * Math.Pow(amps / usualA, 1.3) * a.EscHeat[m] * (mine && trial.Is("hot-esc") ? trial.Amount : 1);
                motor[m] += dt / tauM * (heatM - (motor[m] - ambient));
                esc[m] += dt / tauE * (heatE - (esc[m] - ambient));
                motorC[m][i] = Math.Round(motor[m] + 0.15 * MadeAircraft.Gauss(_random));
                escC[m][i] = Math.Round(esc[m] + 0.15 * MadeAircraft.Gauss(_random));
            }

            used += totalA * dt / (usualA * n) / 900;
            settled += dt / 4 * (0.3 * totalA * resistance - settled);
            volts[i] = Step(
                Cells * CellV * (1 - 0.12 * used) - 0.7 * totalA * resistance - settled + 0.01 * MadeAircraft.Gauss(_random),
                0.01
            );
        }

        MotorTrack[] tracks =
        [
            .. a.Airframe.Motors.Select(
                (motorOf, m) =>
                    new MotorTrack
                    {
                        MotorId = motorOf.Id,
                        Rpm = new Series(timeS, speed[m]),
                        Command = new Series(timeS, command[m]),
                        CurrentA = new Series(timeS, current[m]),
                        VoltageV = new Series(timeS, volts),
                        MotorTempC = new Series(timeS, motorC[m]),
                        EscTempC = new Series(timeS, escC[m]),
                    }
            ),
        ];
        if (trial.Is("loose-telemetry"))
        {
            tracks[trial.Motor] = Loosened(tracks[trial.Motor]);
        }

        return (tracks, new Series(timeS, volts));
    }

    /// <summary>Mean command that reaches 1 for so large a share of the time, with the scatter of about 2.5 % that commands have
    /// here.</summary>
    private static double HeadroomFor(double share) => 1 - 0.025 * -MathNet.Numerics.Distributions.Normal.InvCDF(0, 1, share);

    /// <summary>Bursts of readings that are zero, repeat the last one, or are missing.</summary>
    private MotorTrack Loosened(MotorTrack track)
    {
        int kind = _random.Next(3),
            count = track.Rpm!.Count;
        bool[] bad = new bool[count];
        double share = trial.Amount,
            burst = MadeAircraft.In(_random, 1, 8) + (kind > 0 ? 5 : 0);
        bool now = false;
        for (int i = 0; i < count; i++)
        {
            now = now ? _random.NextDouble() > 1 / burst : _random.NextDouble() < share / (1 - share) / burst;
            bad[i] = now;
        }

        Series? Of(Series? series, bool zeroable)
        {
            if (series is null)
            {
                return null;
            }

            double[] values = [.. series.Values];
            if (kind == 2)
            {
                int[] kept = [.. Enumerable.Range(0, count).Where(i => !bad[i])];
                return new([.. kept.Select(i => series.TimeS[i])], [.. kept.Select(i => values[i])]);
            }

            for (int i = 1; i < count; i++)
            {
                values[i] =
                    !bad[i] ? values[i]
                    : kind == 0 && zeroable ? 0
                    : values[i - 1];
            }

            return new(series.TimeS, values);
        }

        return track with
        {
            Rpm = Of(track.Rpm, true),
            CurrentA = Of(track.CurrentA, true),
            VoltageV = Of(track.VoltageV, true),
            MotorTempC = Of(track.MotorTempC, true),
            EscTempC = Of(track.EscTempC, true),
        };
    }

    private static double[][] Rows(int n, int count) => [.. Enumerable.Range(0, n).Select(_ => new double[count])];

    private static double Step(double value, double step) => Math.Round(value / step) * step;
}
