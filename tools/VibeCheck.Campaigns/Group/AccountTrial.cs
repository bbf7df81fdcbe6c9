using VibeCheck.Core.Airframes;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;

namespace VibeCheck.Campaigns.Group;

/// <summary>The fault that is added to a flight with rotors and wash.</summary>
internal enum AddedFault
{
    None,
    Looseness,
    BearingTone,
    SteadyLine,
    Knocks,
    Broadband,
}

/// <summary>A simulated flight with one known fault outside the rotors' whole orders.</summary>
internal sealed record AccountTrial(GroupTrial Base, AddedFault Fault, double SizeMps2, int Seed)
{
    private const double TruthHz = 100;
    private const int ReportedEvery = 5;

    internal static AccountTrial Draw(int number, int seed, AddedFault fault)
    {
        var random = new Random(unchecked((int)((seed * 7_919L + number * 31 + (int)fault) * 2654435761L)));
        return new(GroupTrial.Draw(number, seed + 500, true), fault, Math.Pow(10, GroupTrial.In(random, -0.5, 0.3)), random.Next());
    }

    /// <summary>By how much the broadband vibration is higher in a flight with that fault, dB.</summary>
    internal const double BroadbandDb = 8;

    internal Airframe Airframe => Base.Airframe;

    internal string FaultyMotor => Airframe.Motors[Seed % Airframe.Motors.Count].Id;

    /// <summary>The flight as logged, with speeds twenty times a second unless they are left out, and its truth.</summary>
    internal (Flight Flight, FlightTruth Truth) Make(FlightRecipe recipe, bool withSpeeds, bool withFault)
    {
        // Noise of air and frame rise together: the whole broadband part is higher by this amount.
        double louder = withFault && Fault == AddedFault.Broadband ? Math.Pow(10, BroadbandDb / 20) : 1;
        SimulatedFlight made = SimulatedFlight.Make(
            recipe with
            {
                RumbleMps2 = 0,
                TelemetryHz = TruthHz,
                TelemetryLatencyS = 0,
                TelemetryNoiseRpm = 0,
                TelemetryStepRpm = 0,
            }
        );
        Wash air = (Base.Air with { HumMps2 = 0 }).WithRumble(recipe.RumbleMps2).Swollen(louder);
        ImuTrack imu = air.AddedTo(made.Flight.Imu, made.Truth.Hover, recipe.Seed);
        Series truth = made.Flight.Track(FaultyMotor)!.Rpm!;
        imu = withFault ? WithFault(imu, made.Truth.Hover, truth) : imu;
        var random = new Random(recipe.Seed);
        Flight flight = made.Flight with
        {
            Imu = imu,
            AmbientC = null,
            Motors = withSpeeds
                ? [.. made.Flight.Motors.Select(m => new MotorTrack { MotorId = m.MotorId, Rpm = Reported(m.Rpm!, random) })]
                : [],
        };
        return (flight, made.Truth);
    }

    private static Series Reported(Series truth, Random random)
    {
        int[] kept = [.. Enumerable.Range(0, truth.Count / ReportedEvery).Select(i => i * ReportedEvery)];
        return new(
            [.. kept.Select(i => truth.TimeS[i])],
            [.. kept.Select(i => truth.Values[i] <= 0 ? 0 : Math.Round(truth.At(truth.TimeS[i] - 0.02) + 3 * GroupTrial.Gauss(random)))]
        );
    }

    private ImuTrack WithFault(ImuTrack imu, TimeInterval hover, Series rpm)
    {
        var random = new Random(Seed);
        double[] added = new double[imu.Count];
        switch (Fault)
        {
            case AddedFault.Looseness:
                AddLine(added, imu, hover, rpm, 0.5, 0.8 * SizeMps2, random);
                AddLine(added, imu, hover, rpm, 1.5, 0.6 * SizeMps2, random);
                break;
            case AddedFault.BearingTone:
                AddLine(added, imu, hover, rpm, Bearing(imu, rpm, random), SizeMps2, random);
                break;
            case AddedFault.SteadyLine:
                AddLine(added, imu, hover, null, 60 * GroupTrial.In(random, 55, 0.3 * imu.RateHz), SizeMps2, random);
                break;
            case AddedFault.Knocks:
                AddKnocks(added, imu, hover, random);
                break;
        }

        double[] Plus(double[] axis, double weight) => [.. axis.Select((v, i) => v + weight * added[i])];
        return imu with { AccXMps2 = Plus(imu.AccXMps2, 0.6), AccYMps2 = Plus(imu.AccYMps2, 0.64), AccZMps2 = Plus(imu.AccZMps2, 0.48) };
    }

    /// <summary>A multiple that is not a whole number, within the bandwidth of the log.</summary>
    private static double Bearing(ImuTrack imu, Series rpm, Random random)
    {
        double multiple = GroupTrial.In(random, 2.6, 2.9) + random.Next(2) * 0.55;
        return multiple * rpm.Values.Max() / 60 < 0.38 * imu.RateHz ? multiple : multiple - 2;
    }

    /// <summary>A line at a multiple of a rotor's speed, or, without one, at a frequency given in cycles a minute.</summary>
    private static void AddLine(double[] added, ImuTrack imu, TimeInterval hover, Series? rpm, double multiple, double rms, Random random)
    {
        double angle = 6.28 * random.NextDouble();
        foreach (ContiguousSegment block in imu.Blocks)
        {
            for (int i = block.FirstSample; i < block.FirstSample + block.SampleCount; i++)
            {
                double t = block.TimeOf(i);
                angle += 2 * Math.PI * multiple * (rpm?.At(t) ?? 1) / 60 * block.PeriodS;
                added[i] += t > hover.FromS - 4 && t < hover.ToS + 4 ? rms * Math.Sqrt(2) * Math.Cos(angle) : 0;
            }
        }
    }

    /// <summary>Bursts that ring for a few hundredths of a second, up to ten times as large as the other faults are in the mean.</summary>
    private void AddKnocks(double[] added, ImuTrack imu, TimeInterval hover, Random random)
    {
        double every = GroupTrial.In(random, 0.5, 4),
            hz = GroupTrial.In(random, 60, 0.35 * imu.RateHz);
        foreach (ContiguousSegment block in imu.Blocks)
        {
            for (
                double at = Math.Max(block.StartS, hover.FromS) + every * random.NextDouble();
                at < Math.Min(block.EndS, hover.ToS);
                at += every * (0.5 + random.NextDouble())
            )
            {
                int first = block.FirstSample + (int)((at - block.StartS) / block.PeriodS);
                for (int i = first; i < Math.Min(block.FirstSample + block.SampleCount, first + (int)(0.1 / block.PeriodS)); i++)
                {
                    double t = (i - first) * block.PeriodS;
                    added[i] += 15 * SizeMps2 * Math.Exp(-t / 0.015) * Math.Sin(2 * Math.PI * hz * t);
                }
            }
        }
    }
}
