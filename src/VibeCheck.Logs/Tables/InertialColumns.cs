namespace VibeCheck.Logs.Tables;

/// <summary>Acceleration and rates of every row. They are most of the size of a long log and are kept in memory only once: the stage that
/// takes them owns them and may change them, and this object is then empty.</summary>
internal sealed class InertialColumns
{
    private (double[][] AccelerationMps2, double[][]? RatesRadps)? _columns;

    /// <param name="accelerationMps2">Acceleration x, y, z by row, m/s²; NaN where there is none.</param>
    /// <param name="ratesRadps">Rates about x, y, z by row, rad/s; null where there are none.</param>
    internal InertialColumns(double[][] accelerationMps2, double[][]? ratesRadps) => _columns = (accelerationMps2, ratesRadps);

    /// <exception cref="InvalidOperationException">They were taken before.</exception>
    internal (double[][] AccelerationMps2, double[][]? RatesRadps) Take()
    {
        var taken = _columns ?? throw new InvalidOperationException("the inertial columns of this file were handed on before");
        _columns = null;
        return taken;
    }
}
