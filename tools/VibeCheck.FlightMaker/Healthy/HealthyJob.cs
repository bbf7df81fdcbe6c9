using VibeCheck.FlightMaker.Damage;

namespace VibeCheck.FlightMaker.Healthy;

/// <summary>A job without faults: every log form, and all the ways in which healthy flights and loggers differ.</summary>
public sealed record HealthyJob
{
    private const double DayS = 86_400;

    public required int Number { get; init; }

    public required FlightRecipe Before { get; init; }

    public required FlightRecipe After { get; init; }

    public required LogFormRecipe FormBefore { get; init; }

    public required LogFormRecipe FormAfter { get; init; }

    /// <summary>Names of the traits of the flights.</summary>
    public required string Traits { get; init; }

    /// <summary>Whether the job file gives the ambient temperatures.</summary>
    public required bool GivesAmbient { get; init; }

    public required double ChangeDb { get; init; }

    public required double ChangeC { get; init; }

    /// <summary>Makes a job; the same number gives the same job. Consecutive numbers go through all forms and all traits.</summary>
    public static HealthyJob Make(int number)
    {
        // Flights as in the damage campaign, with job numbers of their own.
        DamageJob flights = DamageJob.Make(10_000 + number);
        var random = new Random(unchecked((int)((number + 77) * 2654435761L)));
        IReadOnlyList<HealthyTrait> all = HealthyTrait.All;
        HealthyTrait own = all[number % all.Count];
        HealthyTrait[] traits = random.Next(3) == 0 ? [own, all[random.Next(all.Count)]] : [own];
        LogFormRecipe before = LogForms.All[number % LogForms.All.Count];
        LogFormRecipe after = random.Next(4) == 0 ? LogForms.All[random.Next(LogForms.All.Count)] : before;
        double jitterS = random.Next(2) == 0 ? 0 : 30e-6;
        bool givesAmbient = flights.GivesAmbient || traits.Any(t => t.Name == "a warm start");
        return new()
        {
            Number = number,
            Before = Flight(flights.Before, before, false),
            After = Flight(flights.After, after, true),
            FormBefore = before with { JitterS = jitterS },
            // Recorders that stamp date or running time record the flight after on another day.
            FormAfter = after with
            {
                JitterS = jitterS,
                ClockStartS = after.ClockStartS + (after.Time is "iso" or "ns" ? DayS : 0),
            },
            Traits = string.Join(" + ", traits.Select(t => t.Name).Distinct()),
            GivesAmbient = givesAmbient,
            ChangeDb = flights.ChangeDb,
            ChangeC = flights.ChangeC,
        };

        FlightRecipe Flight(FlightRecipe recipe, LogFormRecipe form, bool isAfter)
        {
            FlightRecipe changed = traits.Distinct().Aggregate(recipe, (r, t) => t.Change(r, isAfter, random));
            return form.Layout is "wide" or "held" ? changed with { EscClockOffsetS = 0, EscClockPpm = 0 } : changed;
        }
    }
}
