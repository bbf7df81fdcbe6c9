using MathNet.Numerics.Distributions;

namespace VibeCheck.Core.Statistics;

/// <summary>One source of uncertainty in a measured amount.</summary>
/// <param name="Name">Short fixed name in kebab case, such as <c>display-steps</c>; Reports has its words.</param>
/// <param name="Standard">Standard uncertainty u of the source, 0 or more.</param>
/// <param name="Sensitivity">By how much the amount changes for one unit of the source (c of the GUM).</param>
/// <param name="Freedom">Degrees of freedom of u, above 0; positive infinity where u is taken as known.</param>
public sealed record UncertaintyPart(string Name, double Standard, double Sensitivity, double Freedom)
{
    /// <summary>Where it was read, in kebab case, or whose it is; null where that means nothing.</summary>
    public string? Place { get; init; }

    /// <summary>Whether it was read with the gauge turned by 180°.</summary>
    public bool Turned { get; init; }

    /// <summary>Readings that were averaged, where more readings would make this part smaller; else null.</summary>
    public int? Readings { get; init; }

    /// <summary>u that stays however many readings are averaged, at most <see cref="Standard"/>.</summary>
    public double Floor { get; init; }

    /// <summary>Name of the error where one and the same error enters several amounts, such as that of a reference read once; null for
    /// an error of its own.</summary>
    public string? SharedError { get; init; }

    /// <summary>Name of the estimate where several parts take their u from one, so that its degrees of
    /// freedom count once; null for one of its own.</summary>
    public string? FoundWith { get; init; }

    /// <summary>|c|·u, in the unit of the amount.</summary>
    public double Contribution => Math.Abs(Sensitivity) * Standard;
}

/// <summary>Uncertainty budget of an amount: independent sources combined as in the GUM.</summary>
/// <param name="Parts">The sources; independent of each other.</param>
/// <remarks>JCGM 100:2008 (GUM), 5.1.2 for the root of the summed squares, G.4.1 for the effective degrees of freedom.</remarks>
public sealed record UncertaintyBudget(IReadOnlyList<UncertaintyPart> Parts)
{
    /// <summary>u of a value known only to lie within ± <paramref name="half"/> (GUM 4.3.7).</summary>
    public static double Rectangular(double half) => half / Math.Sqrt(3);

    /// <summary>Combined standard uncertainty, in the unit of the amount.</summary>
    public double Combined => Math.Sqrt(Parts.Sum(p => p.Contribution * p.Contribution));

    /// <summary>Effective degrees of freedom by Welch and Satterthwaite; positive infinity when all parts are taken as known.</summary>
    public double EffectiveFreedom
    {
        get
        {
            double Fourth(IEnumerable<UncertaintyPart> parts) =>
                Math.Pow(parts.Sum(p => p.Contribution * p.Contribution), 2) / parts.Min(p => p.Freedom);
            UncertaintyPart[] counted = [.. Parts.Where(p => p.Contribution > 0)];
            double fourth =
                counted.Where(p => p.FoundWith is null).Sum(p => Fourth([p]))
                + counted.Where(p => p.FoundWith is not null).GroupBy(p => p.FoundWith).Sum(Fourth);
            return fourth > 0 ? Math.Pow(Combined, 4) / fourth : double.PositiveInfinity;
        }
    }

    /// <summary>Coverage factor for 95 %: Student's t at the effective degrees of freedom, between whole numbers where they are not
    /// whole (GUM G.4.1 allows either that or cutting them).</summary>
    public double Factor95 => Factor95For(EffectiveFreedom);

    /// <summary>Half width of the 95 % interval, in the unit of the amount.</summary>
    public double Expanded95 => Factor95 * Combined;

    /// <summary>The same budget if so many more readings had been averaged at each place.</summary>
    public UncertaintyBudget WithMore(int readings) =>
        new([
            .. Parts.Select(p =>
                p.Readings is int n
                    ? p with
                    {
                        Standard = Math.Sqrt((p.Standard * p.Standard - p.Floor * p.Floor) * n / (n + readings) + p.Floor * p.Floor),
                        Readings = n + readings,
                    }
                    : p
            ),
        ]);

    /// <summary>The budget of a weighted sum of amounts: errors of their own join as squares, one
    /// error that several hold adds up with its sign first
    /// (GUM 5.2.2 with correlation ±1).</summary>
    public static UncertaintyBudget OfSum(IEnumerable<(double Weight, UncertaintyBudget Budget)> terms)
    {
        UncertaintyPart[] parts = [.. terms.SelectMany(t => t.Budget.Parts.Select(p => p with { Sensitivity = t.Weight * p.Sensitivity }))];
        return new([
            .. parts.Where(p => p.SharedError is null),
            .. parts
                .Where(p => p.SharedError is not null)
                .GroupBy(p => p.SharedError)
                .Select(g => g.First() with { Sensitivity = g.Sum(p => p.Sensitivity) }),
        ]);
    }

    /// <summary>Coverage factor for 95 % at so many degrees of freedom, at least 1.</summary>
    public static double Factor95For(double freedom) =>
        double.IsPositiveInfinity(freedom) || freedom > 1e6
            ? 1.959963984540054 // Normal distribution, 97.5 %.
            : StudentT.InvCDF(0, 1, Math.Max(1, freedom), 0.975);
}
