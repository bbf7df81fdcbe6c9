using VibeCheck.Core.Flights.Temperatures;

namespace VibeCheck.Checks;

/// <summary>The heating fit on points (x, y) of a rise from zero: x is time, y the temperature above ambient. The unit stays cold for one
/// and a half time constants with a reading in every cell, so the start is known. The load is then switched on at x = 0, in the middle of a
/// cell, and only the points follow.</summary>
internal sealed class RiseFit
{
    private const double ColdTaus = 1.5;

    private readonly HeatingModel.Solution _solution;
    private readonly double _secondsPerUnit;

    private RiseFit(HeatingModel.Solution solution, double secondsPerUnit) => (_solution, _secondsPerUnit) = (solution, secondsPerUnit);

    internal double Rise => _solution.RiseC;

    /// <summary>Time constant in the unit of x.</summary>
    internal double Tau => _solution.TauS / _secondsPerUnit;

    internal double Squares => _solution.BestFit.SquaresC2;

    /// <summary>Standard deviation of the rise.</summary>
    internal double RiseU(int freedom) => Math.Sqrt(HeatingFits.OneVarianceC2(_solution, Squares / freedom));

    /// <summary>Fits without prior knowledge: hardly any weight on the usual time constant, and no lag.</summary>
    /// <param name="x">Times, integer multiples of <paramref name="cell"/>.</param>
    /// <param name="y">One value per time.</param>
    /// <param name="cell">Width of a cell in the unit of x.</param>
    /// <param name="secondsPerUnit">Scales the time constant into the range of motors.</param>
    internal static RiseFit Of(double[] x, double[] y, double cell, double secondsPerUnit)
    {
        int on = (int)(ColdTaus * 100 / (cell * secondsPerUnit)),
            count = on + (int)Math.Round(x.Max() / cell) + 1;
        double[] loads = new double[count],
            rises = new double[count];
        bool[] used = new bool[count];
        for (int i = 0; i < count; i++)
        {
            loads[i] =
                i < on ? 0
                : i == on ? 0.5
                : 1;
            used[i] = i < on;
        }

        for (int i = 0; i < x.Length; i++)
        {
            int at = on + (int)Math.Round(x[i] / cell);
            (rises[at], used[at]) = (y[i], true);
        }

        HeatingModel model = new(new HeatingCells(0, cell * secondsPerUnit, loads, rises, used), lagSdS: 1e-9);
        return new(model.Solve(rises, varianceC2: 1e-9, aboutRiseC: 1), secondsPerUnit);
    }
}
