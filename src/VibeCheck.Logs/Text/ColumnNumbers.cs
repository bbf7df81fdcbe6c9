namespace VibeCheck.Logs.Text;

/// <summary>The numbers of a log by column. Columns are handed over, not copied, so that a long log is in memory only once: the stage that
/// takes a column owns it and may change it, and it is then gone from here. Columns that were not taken may only be read.</summary>
internal sealed class ColumnNumbers
{
    private readonly double[]?[] _dense;
    private readonly SparseColumn?[] _sparse;

    /// <param name="dense">For each column the number of every row; null where the column is not stored in this way.</param>
    /// <param name="sparse">For each column the rows that have a number; null where the column is not stored in this way.</param>
    internal ColumnNumbers(double[]?[] dense, SparseColumn?[] sparse) => (_dense, _sparse) = (dense, sparse);

    /// <summary>The number of every row, for reading only.</summary>
    internal double[] Dense(int column) => _dense[column] ?? throw Gone(column);

    /// <summary>Whether only the filled cells of a column are stored.</summary>
    internal bool IsSparse(int column) => column < _sparse.Length && _sparse[column] is not null;

    internal double[] TakeDense(int column)
    {
        double[] taken = Dense(column);
        _dense[column] = null;
        return taken;
    }

    internal SparseColumn TakeSparse(int column)
    {
        SparseColumn taken = _sparse[column] ?? throw Gone(column);
        _sparse[column] = null;
        return taken;
    }

    /// <summary>Whether two rows hold the same numbers in all columns that store every row.</summary>
    internal bool AreAlike(int one, int other) => Array.TrueForAll(_dense, c => c is null || c[one].Equals(c[other]));

    /// <summary>The rows in another order; takes all columns.</summary>
    /// <param name="order">For each new place the row that moves there.</param>
    internal ColumnNumbers Reordered(int[] order)
    {
        int[] placeOf = new int[order.Length];
        for (int i = 0; i < order.Length; i++)
        {
            placeOf[order[i]] = i;
        }

        var reordered = new ColumnNumbers(new double[]?[_dense.Length], new SparseColumn?[_sparse.Length]);
        for (int c = 0; c < _dense.Length; c++)
        {
            reordered._dense[c] = _dense[c] is null ? null : Ordered(TakeDense(c), order);
            reordered._sparse[c] = _sparse[c] is null ? null : TakeSparse(c).Reordered(placeOf);
        }

        return reordered;
    }

    private static double[] Ordered(double[] values, int[] order) => Array.ConvertAll(order, row => values[row]);

    private static InvalidOperationException Gone(int column) => new($"column {column + 1} is not kept, or was handed on");
}

/// <summary>The rows of a log, in the log's own units.</summary>
/// <param name="Rows">Their count and their places in the file.</param>
/// <param name="Numbers">Their numbers.</param>
internal sealed record RawTable(LogRows Rows, ColumnNumbers Numbers);
